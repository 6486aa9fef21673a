// Package piece compiles a recipe into a piece: its stones, its castings as
// fields, and how the castings hang together when the piece is worn.
//
// Data flows one way: recipe -> blocks -> stones and parts -> castings. Shapes
// never ask how the piece hangs; hanging is pose, found last.
package piece

import (
	"fmt"

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
	House    stock.House  // whose limits it has to keep, its own overrides among them
	For      For          // the state of the metal
	Finish   stock.Finish // of the outsides
	Grow     float64      // by how much polished outsides stand proud for it, mm; 0 when finished
	Scale    float64      // by how much files are to be larger than the castings; 1: not scaled
	Price    *Price       // the maker's own; nil where the recipe has none
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

// For says what the metal is for, and so its state.
type For uint8

// What a piece is compiled for.
const (
	// ForCasting: prongs straight and bezels open, to set; polished outsides
	// grown by what the finish takes off; files scaled as the recipe asks.
	ForCasting For = iota
	// Finished: set, at the sizes of the recipe, never scaled.
	Finished
)

// String returns "casting" or "finished".
func (f For) String() string { return [...]string{"casting", "finished"}[f] }

// State says in words how the metal is.
func (p *Piece) State() string {
	if p.For == Finished {
		return "finished: set, not for casting"
	}
	if p.Grow == 0 {
		return "for casting, to set, no growth for the finish"
	}
	return fmt.Sprintf("for casting, to set, polished outsides grown by %.3f mm", p.Grow)
}

// Scaling says in words whether files are larger than the castings.
func (p *Piece) Scaling() string {
	if p.Scale == 1 {
		return "not scaled"
	}
	return fmt.Sprintf("scaled x%.3f, do not scale again", p.Scale)
}

// Casting is what comes out of the flask in one lump.
type Casting struct {
	Name   string    // the name of its root body, "sun"
	Root   string    // the address of its root body, "plate.sun"
	Metal  sdf.Field // in the casting's own frame, every part tagged
	Stones []Stone   // in the casting's own frame
	Hang   vec.Place // from the casting's own frame to the worn piece
	Turn   vec.Place // from the casting's own frame to how it is laid out in files
	From   int       // the casting that it hangs from, -1 for none
	By     vec.P     // the middle of the eye or bore that it hangs by, in its own frame
	Rest   vec.P     // where it rests on what carries it, in the worn piece
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

// String returns the address, with the number where there are several: "prongs.inner 3".
func (o Owner) String() string {
	if o.N == 0 {
		return o.Address
	}
	return fmt.Sprintf("%s %d", o.Address, o.N)
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
