package lang

// Origin says where a value comes from.
type Origin uint8

// The origins. The first two are written in the recipe.
const (
	Literal Origin = iota // written as it is
	Formula               // written as an expression
	Default               // the description's default
	Tied                  // solved from a tie
	Derived               // given by the block
	Set                   // a dial set from outside
)

// Fact is one value of a block with where it comes from.
type Fact struct {
	Address string // of the block
	Word    string
	Unit    string
	Help    string
	Value   Value
	Origin  Origin
	Formula string // "(size + gap) / (2 sin(180 / count))"; empty for a literal
	Numbers string // the same with numbers, "(2.5 + 0.20) / (2 sin 18)"; may be empty
	Span    Span   // where it is written, else the block's header

	source string // of a literal number, as it is written
}

// Link is one reference of a block to another.
type Link struct {
	Word string
	To   Ref
	Pose bool // about hanging, not shape
}
