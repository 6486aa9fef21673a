package lang

// Scope is what a block sees while it derives.
type Scope struct {
	r *reader
	b *block
}

// Get returns the typed struct of the block that a reference names, already
// derived. It panics on a reference that was not given, that is pose, or that
// names another kind: these are the programmer's faults.
func Get[T Block](s *Scope, r Ref) T {
	b := s.r.names[r.Address]
	if b == nil || b.state != derived {
		panic("lang: " + s.b.head.Address + " asks for " + r.Address + " which it does not need")
	}
	return b.dest.(T)
}

// Given says whether the recipe itself has the word, rather than its default or
// a tie.
func (s *Scope) Given(word string) bool {
	f := s.b.facts[word]
	return f != nil && f.Origin <= Formula
}

// Give gives a value that the description announced. how says where it comes
// from: a formula in the block's words or a few plain words.
func (s *Scope) Give(name string, v float64, how string) {
	s.r.give(s.b, name, v, how)
}

// Fault reports a fault at a word of the block, or at its header if the word is
// empty or was not written: what is wrong, and what to do about it.
func (s *Scope) Fault(word, problem, fix string) {
	s.r.fault(s.b.spanOf(word), s.b.head.Address+": "+problem, fix+s.b.follows(word))
	s.b.state = failed
}

// FaultIn reports a fault at a word of a sub-block. sub is the word of the
// sub-block, followed by a blank and its label if it has one.
func (s *Scope) FaultIn(sub, word, problem, fix string) {
	in := s.b.sub(sub)
	s.r.fault(in.spanOf(word), s.b.head.Address+": "+problem, fix+in.follows(word))
	s.b.state = failed
}
