package lang

// Dial is a named literal that the maker turns: by hand, by --set, on a page,
// or by a search.
type Dial struct {
	Head
	Value   Value
	Range   []float64 // least and most, or empty
	Step    float64   // 0: none
	Note    string
	Choices []string // of a dial that is a word
	At      Span     // of the literal
}

// Describe says what a dial block may hold.
func (b *Dial) Describe(d *Desc) {
	d.About("a number or word that the maker turns", "Read it as dial.NAME. Its value is a literal, so that --set and the page mean the same.")
	w := d.add(typeLiteral, "value", "", "a number, or one of the choices; never a formula")
	w.set = func(v Value) { b.Value = v }
	d.Numbers(&b.Range, "range", "", "least and greatest value", 2).Optional()
	d.Number(&b.Step, "step", "", "what one notch of the dial adds").Range(0, 1e6).Optional()
	d.Text(&b.Note, "note", "what it turns, in a few words").Optional()
	c := d.add(typeTexts, "choices", "", "the words that it may be")
	c.set, c.optional = func(v Value) { b.Choices = v.Texts() }, true
}

// Let is a named value for others to read.
type Let struct {
	Head
	Value Value
}

// Describe says what a let block may hold.
func (b *Let) Describe(d *Desc) {
	d.About("a value under a name, for other blocks to read", "Read it as let.NAME.")
	w := d.add(typeAny, "value", "", "a number, word, flag, or list of them; formulas welcome")
	w.set = func(v Value) { b.Value = v }
}

// Derive has nothing to derive.
func (b *Let) Derive(*Scope) {}
