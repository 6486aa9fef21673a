package stock

import "testing"

// limit returns a limit of a house, the zero Limit if it has none.
func limit(house string, r Role) Limit {
	h, _ := HouseNamed(house)
	l, _ := h.Limit(r)
	return l
}

// The limits of the houses are those that their sources print.
func TestLimitsAreAsPrinted(t *testing.T) {
	p, _ := HouseNamed("practised")
	s, _ := HouseNamed("strict")
	least := func(r Role) (practised, strict Limit) { return limit("practised", r), limit("strict", r) }
	small, smallStrict := least(PlateSmall)
	large, largeStrict := least(PlateLarge)
	grooved, groovedStrict := least(Grooved)
	bail, bailStrict := least(Bail)
	post, postStrict := least(EarPost)
	ring, ringStrict := least(JumpRing)
	bearing, bearingStrict := least(Bearing)
	air, airStrict := least(StoneAir)
	stud, studStrict := least(StudWeight)
	drop, dropStrict := least(DropWeight)
	_, gap := least(Gap)
	length := limit("practised", PostLength)
	fold := limit("practised", FoldHeight)
	D, g, shrink := 2.0, 0.10, 0.026
	check(t, []fact{
		{"06-001", "least section, cast", grooved.Fail.Value, 0.40, 0, morris},
		{"06-002", "broad or flat areas", groovedStrict.Fail.Value, 0.50, 0, morris},
		{"06-003", "wall, all metals", small.Caution.Value, 0.8, 0, gemwares},
		{"06-003", "wall, all metals", large.Fail.Value, 0.8, 0, gemwares},
		{"06-004", "silver wall, upper", large.Caution.Value, 1.0, 0, misterj},
		{"06-004", "silver wall, upper", smallStrict.Caution.Value, 1.0, 0, misterj},
		{"06-005", "gold wall, lower", largeStrict.Fail.Value, 1.0, 0, misterj},
		{"06-005", "gold wall, upper", largeStrict.Caution.Value, 1.2, 0, misterj},
		{"06-011", "least opening", gap.Fail.Value, 0.40, 0, stullerBP},
		{"06-023", "polishing loss", s.PolishLoss.Value, 0.20, 0, stullerBP},
		{"06-025", "polishing loss, lower", p.PolishLoss.Value, 0.10, 0, "i.materialise forum 3309"},
		{"07-001", "quality post", postStrict.Caution.Value, 0.85, 0, hoover},
		{"07-004", "post, sterling, lower", post.Fail.Value, 0.7, 0, "jewelenvy.ca (G. E. Batcher 2013)"},
		{"07-004", "post, sterling, upper", postStrict.Over.Value, 0.9, 0, "jewelenvy.ca (G. E. Batcher 2013)"},
		{"07-006", "post, cast", post.Caution.Value, 0.8, 0, misterj},
		{"07-006", "post, cast", postStrict.Fail.Value, 0.8, 0, misterj},
		{"07-009", "post, shortest sold", length.Caution.Value, 9.5, 0, Common},
		{"07-009", "3/8 in", length.Caution.Value, 3. / 8 * Inch, 0.05, Common},
		{"07-009", "post, longest sold", length.Over.Value, 12, 0, Common},
		{"07-012", "designer limit, half an ounce", dropStrict.Most.Value, 14.2, 0, halfOunce},
		{"07-012", "designer limit, half an ounce", studStrict.Most.Value, 14.2, 0, halfOunce},
		{"07-012", "half an ounce", dropStrict.Most.Value, 28.35 / 2, 0.05, "an ounce is 28.35 g"},
		{"07-013", "comfortable all day, from", dropStrict.NoteOver.Value, 4, 0, allDay},
		{"07-013", "comfortable all day, to", dropStrict.Over.Value, 8, 0, allDay},
		{"07-014", "designer limit", drop.Over.Value, 10, 0, heavyEars},
		{"07-014", "medium, to", drop.NoteOver.Value, 6, 0, heavyEars},
		{"07-014", "medium, from", stud.NoteOver.Value, 3.5, 0, heavyEars},
		{"07-014", "studs, to", studStrict.NoteOver.Value, 2.5, 0, heavyEars},
		{"07-018", "ring for a charm, lower", ring.Caution.Value, 0.8, 0, findings},
		{"07-018", "ring for a charm, upper", ringStrict.Caution.Value, 1.0, 0, findings},
		{"07-019", "ring for a pendant, lower", bail.Caution.Value, 1.0, 0, findings},
		{"07-019", "ring for a pendant, upper", bailStrict.Caution.Value, 1.2, 0, findings},
		{"05-001", "prong height, lower, % of the crown", fold.Note.Value, 60, 0, benchRound},
		{"05-001", "prong height, upper, % of the crown", fold.NoteOver.Value, 80, 0, benchRound},
		{"05-015", "least prong", s.Prong(1).Fail.Value, 0.6, 0, gemwares},
		{"05-022", "prong for 1 mm", p.Prong(1).Caution.Value, 0.40, 0, Common},
		{"05-022", "prong for 6.5 mm", p.Prong(6.5).Caution.Value, 1.00, 0, Common},
		{"05-022", "prong for 5 mm within a row", p.Prong(5).Caution.Value, 0.80, 0.10, Common},
		{"05-025", "finished gap of stones", air.Note.Value, 0.10, 0, benchBead},
		{"05-025", "finished gap of stones", airStrict.Caution.Value, 0.10, 0, benchBead},
		{"05-026", "gap in wax for 2 mm, 0.10, 2.6 %", (D+g)/(1-shrink) - D, 0.156, 5e-4, "computed: stones do not shrink"},
		{"05-030", "seat round a hole", bearing.Caution.Value, 0.3, 0, "C. Lewton-Brain 2002"},
		{"05-030", "seat round a hole", bearingStrict.Fail.Value, 0.3, 0, "C. Lewton-Brain 2002"},
	})
}

// A limit speaks up beyond each of its bounds, worst first, and not at them.
func TestMissed(t *testing.T) {
	l := Limit{Fail: Figure{1, "a"}, Caution: Figure{2, "b"}, NoteOver: Figure{5, "c"}, Over: Figure{6, "d"}}
	for _, c := range []struct {
		figure, give float64
		which        Bound
		ok           bool
	}{
		{0.5, 0, FailUnder, true}, {1, 0, CautionUnder, true}, {2, 0, 0, false}, {1.995, 0.01, 0, false},
		{5, 0, 0, false}, {5.5, 0, NoteOver, true}, {7, 0, CautionOver, true}, {-3, 0, FailUnder, true},
	} {
		which, bound, ok := l.Missed(c.figure, c.give)
		if which != c.which || ok != c.ok || ok && bound.Source == "" {
			t.Errorf("%g: %s %v %v, want %s %v", c.figure, which, bound, ok, c.which, c.ok)
		}
	}
	if _, _, ok := (Limit{}).Missed(-1, 0); ok {
		t.Error("a limit without bounds is missed")
	}
}

// Every word of a house of one's own overrides the limit that it names, in both
// shipped houses, and nothing else.
func TestOverride(t *testing.T) {
	for _, name := range HouseNames() {
		for _, w := range LimitWords() {
			h, _ := HouseNamed(name)
			before, ok := h.Limit(w.Role)
			if !ok {
				t.Errorf("%s has no limit for %s", name, w.Role)
			}
			values := make([]float64, len(w.Bounds))
			for i := range values {
				values[i] = 101 + float64(i)
			}
			if err := h.Override(w.Word, values, "asked"); err != nil {
				t.Fatal(err)
			}
			after, _ := h.Limit(w.Role)
			if after == before {
				t.Errorf("%s: %s changes nothing", name, w.Word)
			}
			for b := FailUnder; b <= FailOver; b++ {
				if f := *before.figure(b); f != (Figure{}) && *after.figure(b) == f {
					t.Errorf("%s: %s leaves the bound %q of %g", name, w.Word, b, f.Value)
				}
			}
			if h.Override(w.Word, values[:w.Least()-1], "") == nil || h.Override(w.Word, append(values, 200), "") == nil {
				t.Errorf("%s: too few numbers, or too many", w.Word)
			}
		}
	}
	// without its last number the weight of a stud has no fail
	h, _ := HouseNamed("strict")
	if err := h.Override("stud_weight", []float64{3, 5}, "asked"); err != nil {
		t.Error(err)
	}
	want := Limit{Role: StudWeight, NoteOver: Figure{3, "asked"}, Over: Figure{5, "asked"}}
	if l, _ := h.Limit(StudWeight); l != want {
		t.Errorf("%+v, want %+v", l, want)
	}
	if h.Override("gapp", []float64{1, 2}, "") == nil || h.Override("gap", []float64{2, 1}, "") == nil {
		t.Error("an unknown limit, or bounds that fall, were taken")
	}
}
