package stock

// Finish is what is done to the outsides of a piece after casting.
type Finish struct {
	Name string
	// Share is how much of a house's PolishLoss it takes.
	Share Figure
}

// finishes are from the brightest to none.
var finishes = []Finish{
	{"polish", Figure{1, "the house's loss is that of a full polish"}},
	{"satin", Figure{0.5, Common + ": ground and matted, not polished"}},
	{"as-cast", Figure{0, "nothing is taken off"}},
}

// FinishNames returns the names of the finishes, the default first.
func FinishNames() []string { return names(finishes, func(f Finish) string { return f.Name }) }

// FinishNamed returns the finish of that name.
func FinishNamed(name string) (Finish, bool) {
	return named(finishes, name, func(f Finish) string { return f.Name })
}

// Growth returns by how much a polished surface has to stand proud before the
// finish, in mm: half of what it takes off a thickness, for that is polished
// from both sides.
func (h House) Growth(f Finish) float64 { return h.PolishLoss.Value * f.Share.Value / 2 }
