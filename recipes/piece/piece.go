// Package piece compiles a recipe into a piece: its stones, its castings as
// fields, and how the castings hang together when the piece is worn.
//
// Data flows one way: recipe -> blocks -> stones and parts -> castings. Shapes
// never ask how the piece hangs; hanging is pose, found last.
package piece

import (
	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/solids/stock"
	"waxwright/solids/stone"
)

// Piece is a compiled recipe: what the customer gets.
type Piece struct {
	Title    string // free text, "marigold pendant"
	Slug     string // the title as a file name, "marigold-pendant"
	Designer string // may be empty
	Alloy    stock.Alloy
	Pair     Pair
	Castings []Casting
	Owners   []Owner    // the owner of the tag t is Owners[t-1]
	Digest   [32]byte   // of the recipe with its dials as they stand
	Recipe   *lang.File // every value with where it comes from
}

// Pair says whether the piece has a twin for the other ear.
type Pair uint8

// The kinds of pair.
const (
	Single   Pair = iota // one piece
	Same                 // two of the same
	Mirrored             // the second is the mirror image of the first
)

// String returns "single", "same" or "mirrored".
func (p Pair) String() string { return [...]string{"single", "same", "mirrored"}[p] }

// Casting is what comes out of the flask in one lump.
type Casting struct {
	Name   string    // the name of its root body, "sun"
	Root   string    // the address of its root body, "plate.sun"
	Metal  sdf.Field // in the casting's own frame, every part tagged
	Stones []Stone   // in the casting's own frame
	Hang   vec.Place // from the casting's own frame to the worn piece
	Turn   vec.Place // from the casting's own frame to how it is laid out in files
}

// Stone is one stone in its place.
type Stone struct {
	Group string // address of its block, "stones.petals"
	N     int    // from 1, clockwise from the top
	Cut   stone.Cut
	Gem   stock.Gem
	Place vec.Place // from the stone's own frame to the casting's
}

// Owner is one instance of a part: what a tag stands for.
type Owner struct {
	Address string    // "prongs.inner"
	N       int       // which of them, from 1; 0 where there is but one
	Casting int       // index into Castings
	Span    lang.Span // the block's header in the recipe
	Role    Role
	Place   vec.Place // from the part's own frame to the casting's
}

// Role is what a bit of metal is.
type Role uint8

// The roles.
const (
	PlateRole Role = iota
	BezelRole
	ProngRole
	GalleryRole
	BailRole
	LinkRole
	PostRole
)
