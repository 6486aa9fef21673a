package proof

import (
	"cmp"
	"fmt"
	"slices"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
	"waxwright/geom/wall"
	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

// overlapTol is how exactly in mm an overlap is measured: a tenth of the least
// that a joint should have.
const overlapTol = 0.015

// bit is one bit of a casting's metal.
type bit struct {
	piece.Owner
	field sdf.Field
}

// joint is how two bits of a casting are joined.
type joint struct {
	a, b    int // indices of bits
	overlap float64
	at      vec.P
}

// joints asks whether the parts of a casting are joined by more than a hair:
// part to part along the strongest way from the body that they stand on. Of
// loops the wearing group asks by their own word.
func (b *bench) joints() error {
	l, _ := b.house.Limit(stock.Joint)
	enough := max(l.Fail.Value, l.Caution.Value) + overlapTol
	for i := range b.piece.Castings {
		var bits []bit
		b.piece.Parts(&b.piece.Castings[i], func(o piece.Owner, f sdf.Field) { bits = append(bits, bit{o, f}) })
		all, err := b.overlaps(bits, enough)
		if err != nil {
			return err
		}
		for _, j := range strongest(len(bits), all) {
			grade, limit := under(j.overlap, l.Fail.Value, l.Caution.Value)
			on, o := bits[j.a], bits[j.b]
			if grade == none || o.Role == piece.BailRole {
				continue
			}
			r := of(b.piece, o.Owner, j.at)
			r.Figure, r.Limit, r.Unit, r.Source = j.overlap, limit, "mm", sourceOf(l, grade)
			r.Says = fmt.Sprintf("it overlaps %s by %.2f mm at the most; %s", part(on.Address, on.N), j.overlap, b.asks(grade, j.overlap, limit))
			r.Why = "a joint by a hair breaks, or does not fill"
			b.add(r, grade, Metal, "joint", "")
		}
	}
	return nil
}

// overlaps measures all pairs of bits that come near each other, those that
// stand on something last.
func (b *bench) overlaps(bits []bit, enough float64) ([]joint, error) {
	var all []joint
	for i, p := range bits {
		for k := i + 1; k < len(bits); k++ {
			q := bits[k]
			if p.field.Bounds().Intersect(q.field.Bounds()).IsEmpty() {
				continue
			}
			d, at, err := wall.Overlap(b.ctx, p.field, q.field, enough, overlapTol)
			if err != nil {
				return nil, err
			}
			if d > 0 {
				all = append(all, joint{i, k, d, at})
			}
		}
	}
	return all, nil
}

// strongest returns the joints by which n bits hang together: of all ways from
// bit to bit those whose weakest joint is the strongest (Kruskal's spanning
// tree).
func strongest(n int, all []joint) []joint {
	slices.SortStableFunc(all, func(x, y joint) int { return cmp.Compare(y.overlap, x.overlap) })
	up := make([]int, n)
	for i := range up {
		up[i] = i
	}
	root := func(i int) int {
		for up[i] != i {
			i = up[i]
		}
		return i
	}
	var tree []joint
	for _, j := range all {
		if x, y := root(j.a), root(j.b); x != y {
			up[max(x, y)] = min(x, y)
			tree = append(tree, j)
		}
	}
	return tree
}
