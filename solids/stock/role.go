package stock

import (
	"fmt"
	"slices"
)

// Role is what is judged: what a bit of metal does in a piece, or what a check
// measures. Limits go by role: a prong may be thinner than a plate.
type Role string

// The roles, in the order in which limits are listed.
const (
	PlateSmall  Role = "plate, span under 15 mm"
	PlateLarge  Role = "plate, span over 15 mm"
	Grooved     Role = "left under grooves"
	Gallery     Role = "gallery bar or pillar"
	Bail        Role = "bail or fixed loop"
	EarPost     Role = "ear post"
	Gap         Role = "gap or opening"
	ProngNeck   Role = "neck left on a prong after all its notches"
	BezelWall   Role = "bezel wall above the seat"
	Bearing     Role = "bearing"
	JumpRing    Role = "jump ring"
	Joint       Role = "joint of two parts, overlap"
	Web         Role = "web that seats of stones leave"
	StoneAir    Role = "air between the largest stones, once the metal has shrunk"
	SeatRoom    Role = "room for the largest stone in its bezel, once the metal has shrunk"
	StoneCover  Role = "cover of the smallest stone, pushed aside"
	StonePlay   Role = "shift of the smallest stone in its setting"
	StoneTilt   Role = "tilt of the smallest stone in its setting"
	InStone     Role = "metal inside of a stone"
	WayIn       Role = "how far prongs are opened or notched to let a stone in"
	Culet       Role = "culet to the back"
	TipHeight   Role = "prong tip over the table, to set"
	FoldHeight  Role = "prong tip when set, share of the crown"
	LightLeak   Role = "see-through place beside a stone"
	StudWeight  Role = "weight of a stud, one ear"
	DropWeight  Role = "weight of a drop, one ear"
	PostLength  Role = "length of an ear post"
	PostAside   Role = "ear post beside the centre of mass"
	PostAbove   Role = "ear post above the centre of mass"
	LinkPlay    Role = "room in a bore beyond what passes through it"
	Facing      Role = "how far a drop faces away"
	ChainEnd    Role = "bore of a bail, for the end of a chain"
	TiltForward Role = "tilt of a hanging piece, top forward or back"
	TiltAside   Role = "turn of a hanging piece in its own plane"
	Prong       Role = "prong, by its stone" // its limits come from House.Prong
)

// Bound is one of the bounds that a limit may set.
type Bound uint8

// The bounds.
const (
	FailUnder Bound = iota
	CautionUnder
	NoteUnder
	NoteOver
	CautionOver
	FailOver
)

// String returns what happens beyond the bound: "a fail under".
func (b Bound) String() string {
	return [...]string{"a fail under", "a caution under", "a note under", "a note over", "a caution over", "a fail over"}[b]
}

// Limit is how thin, narrow, heavy or long something of a role may be, in the
// unit of the role. Under Fail.Value a piece should not be sent, under
// Caution.Value somebody has to decide, under Note.Value somebody should know;
// NoteOver, Over and FailOver are the same from above. The zero Figure sets no
// bound.
type Limit struct {
	Role                                      Role
	Fail, Caution, Note, NoteOver, Over, Most Figure
}

// figure returns a bound of the limit.
func (l *Limit) figure(b Bound) *Figure {
	return [...]*Figure{&l.Fail, &l.Caution, &l.Note, &l.NoteOver, &l.Over, &l.Most}[b]
}

// Missed returns the gravest bound that a figure misses by more than give, and
// which it is; ok is false if it keeps all.
func (l Limit) Missed(figure, give float64) (which Bound, bound Figure, ok bool) {
	for _, b := range []Bound{FailUnder, FailOver, CautionUnder, CautionOver, NoteUnder, NoteOver} {
		f := *l.figure(b)
		if f == (Figure{}) {
			continue
		}
		if b <= NoteUnder && figure < f.Value-give || b > NoteUnder && figure > f.Value+give {
			return b, f, true
		}
	}
	return 0, Figure{}, false
}

// LimitWord is how a maker's own house names a limit: one number for each of
// its bounds, in their order. A fail that comes last, after others, may be left out:
// the house sets none then.
type LimitWord struct {
	Word   string // "gap"
	Role   Role
	Unit   string // "mm", "g", "degrees", "%"
	Bounds []Bound
}

// Least is how many numbers the word takes at least.
func (w LimitWord) Least() int {
	if n := len(w.Bounds) - 1; n > 0 && w.Bounds[n] == FailOver {
		return n
	}
	return len(w.Bounds)
}

// Help says what the numbers are: "gap or opening: a fail under, a caution
// under".
func (w LimitWord) Help() string {
	s := string(w.Role) + ": "
	for i, b := range w.Bounds {
		if i > 0 {
			s += ", "
		}
		s += b.String()
		if i >= w.Least() {
			s += " (may be left out)"
		}
	}
	return s
}

var (
	atLeast  = []Bound{FailUnder, CautionUnder}
	atLeast3 = []Bound{FailUnder, CautionUnder, NoteUnder}
	atMost   = []Bound{NoteOver, CautionOver}
	atMost3  = []Bound{NoteOver, CautionOver, FailOver}
)

// limitWords are the words for limits of what recipes can make.
var limitWords = []LimitWord{
	{"plate", PlateSmall, "mm", atLeast},
	{"large_plate", PlateLarge, "mm", atLeast},
	{"grooved", Grooved, "mm", atLeast},
	{"gallery", Gallery, "mm", atLeast},
	{"bail", Bail, "mm", atLeast},
	{"post", EarPost, "mm", []Bound{FailUnder, CautionUnder, CautionOver}},
	{"gap", Gap, "mm", atLeast},
	{"neck", ProngNeck, "mm", atLeast},
	{"bezel", BezelWall, "mm", atLeast},
	{"bearing", Bearing, "mm", atLeast},
	{"link", JumpRing, "mm", atLeast},
	{"joint", Joint, "mm", atLeast},
	{"web", Web, "mm", []Bound{FailUnder}},
	{"stone_air", StoneAir, "mm", atLeast3},
	{"seat_room", SeatRoom, "mm", []Bound{CautionUnder, NoteUnder}},
	{"cover", StoneCover, "mm", atLeast},
	{"play", StonePlay, "mm", atMost},
	{"play_tilt", StoneTilt, "degrees", atMost},
	{"in_stone", InStone, "mm", []Bound{FailOver}},
	{"way_in", WayIn, "mm", []Bound{NoteOver}},
	{"culet", Culet, "mm", []Bound{FailUnder, NoteUnder}},
	{"tip", TipHeight, "mm", []Bound{FailUnder, CautionUnder, NoteOver}},
	{"fold", FoldHeight, "%", []Bound{NoteUnder, NoteOver}},
	{"light_leak", LightLeak, "mm", atMost},
	{"stud_weight", StudWeight, "g", atMost3},
	{"drop_weight", DropWeight, "g", atMost3},
	{"post_length", PostLength, "mm", []Bound{CautionUnder, CautionOver}},
	{"post_aside", PostAside, "mm", atMost},
	{"post_above", PostAbove, "mm", atLeast},
	{"link_play", LinkPlay, "mm", atLeast},
	{"facing", Facing, "degrees", []Bound{CautionOver}},
	{"chain_end", ChainEnd, "mm", atLeast},
	{"tilt", TiltForward, "degrees", atMost},
	{"askew", TiltAside, "degrees", atMost},
}

// LimitWords returns how a house of one's own names the limits, in the order of
// the roles.
func LimitWords() []LimitWord {
	all := slices.Clone(limitWords)
	for i := range all {
		all[i].Bounds = slices.Clone(all[i].Bounds)
	}
	return all
}

// Override sets the bounds of the limit that a word names, in their order, with
// the source of the figures. It fails for an unknown word, for too few or too
// many numbers, and for bounds that contradict each other.
func (h *House) Override(word string, values []float64, source string) error {
	w, ok := named(limitWords, word, func(w LimitWord) string { return w.Word })
	if !ok {
		return fmt.Errorf("no limit is called %q", word)
	}
	if n := len(values); n < w.Least() || n > len(w.Bounds) {
		takes := fmt.Sprint(len(w.Bounds))
		if w.Least() < len(w.Bounds) {
			takes = fmt.Sprintf("%d or %d", w.Least(), len(w.Bounds))
		}
		return fmt.Errorf("%s takes %s numbers, not %d: %s", word, takes, n, w.Help())
	}
	for i := 1; i < len(values); i++ { // bounds are listed from below to above
		if values[i] < values[i-1] {
			return fmt.Errorf("%s: %.4g after %.4g; its numbers rise: %s", word, values[i], values[i-1], w.Help())
		}
	}
	at := slices.IndexFunc(h.Limits, func(l Limit) bool { return l.Role == w.Role })
	if at < 0 {
		at = len(h.Limits)
		h.Limits = append(h.Limits, Limit{Role: w.Role})
	}
	for i, b := range w.Bounds {
		f := Figure{}
		if i < len(values) {
			f = Figure{values[i], source}
		}
		*h.Limits[at].figure(b) = f
	}
	return nil
}
