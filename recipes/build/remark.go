package build

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"waxwright/geom/contour"
	"waxwright/geom/manifold"
	"waxwright/geom/vec"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
)

// Remarks tells what is wrong with the model, a line of the recipe with each: a
// mesh that is not sound, a body that hangs on nothing, a trapped hollow, a
// mesh that is farther off than its tolerance, a place finer than the mesh. With
// a fault among them the model is not fit to be sent. Mirror images are not
// spoken of: they have the faults of what they mirror.
func (m *Model) Remarks() lang.Diags {
	var all lang.Diags
	for i := range m.Castings {
		if c := &m.Castings[i]; !c.Mirrored {
			all = append(all, m.unsound(c)...)
			all = append(all, m.coarser(c)...)
			all = append(all, m.stray(c)...)
			all = append(all, m.loose(c)...)
			all = append(all, m.unresolved(c)...)
		}
	}
	slices.SortStableFunc(all, func(a, b lang.Diag) int { return cmp.Compare(a.Span.Byte, b.Span.Byte) })
	return all
}

// unsound remarks on the defects of a mesh.
func (m *Model) unsound(c *Casting) lang.Diags {
	r := &c.Report
	if r.OK() {
		return nil
	}
	cure := "this is a fault of waxwright: another --tolerance may get round it, and a report would be welcome"
	if r.Unfit != nil {
		return lang.Diags{m.remark(lang.Fault, m.root(c), "its mesh can't be judged: "+r.Unfit.Error(), cure)}
	}
	var kinds []string
	for k, n := range r.Count {
		if kind := manifold.Kind(k); n > 0 && kind != manifold.Touch {
			kinds = append(kinds, fmt.Sprintf("%s (%d)", kind, n))
		}
	}
	at, owner := "", m.root(c)
	if i := slices.IndexFunc(r.Defects, func(d manifold.Defect) bool { return d.Kind != manifold.Touch }); i >= 0 {
		at = "; the first at " + Place(r.Defects[i].At)
		owner = m.ownerOf(c, r.Defects[i].Tags)
		if s, ok := c.sliver(r.Defects[i].At); ok {
			cure = fmt.Sprintf("metal or a gap of %.2g mm at %s is too fine for a mesh of this tolerance: make it thicker or wider, or close it", s.Width, Place(s.At))
		}
	}
	return lang.Diags{m.remark(lang.Fault, owner, "the mesh of casting "+c.Name+" is not sound: "+strings.Join(kinds, ", ")+at, cure)}
}

// coarser remarks on a mesh that is not as fine as was asked for.
func (m *Model) coarser(c *Casting) lang.Diags {
	if c.Tol <= m.Tol {
		return nil
	}
	return lang.Diags{m.remark(lang.Caution, m.root(c),
		fmt.Sprintf("casting %s could not be made sound at %.4g mm; it is made at %.4g mm", c.Name, m.Tol, c.Tol),
		"some of its faces touch at a grazing angle or leave slivers: move, widen or close what the other remarks name")}
}

// stray remarks on a mesh that leaves the true surface by more than it should.
func (m *Model) stray(c *Casting) lang.Diags {
	const rounding = 1e-6 // of the tolerance
	most := max(m.Tol, c.Tol) * m.Piece.Scale
	if c.Reached <= most*(1+rounding) {
		return nil
	}
	return lang.Diags{m.remark(lang.Caution, m.root(c),
		fmt.Sprintf("the mesh of casting %s is %.3g mm off at %s: more than its tolerance of %.4g mm", c.Name, c.Reached, Place(c.ReachedAt), most),
		"look at what meets there at a grazing angle, or ask for a smaller --tolerance")}
}

// besides is how near in mm to a flaw of the mesh a place counts as its cause.
const besides = 1.0

// sliver returns the place finer than the mesh next to p, if one is near.
func (c *Casting) sliver(p vec.P) (near contour.Spot, ok bool) {
	best := besides
	for _, s := range c.Unresolved {
		if d := s.At.Sub(p).Len(); d < best {
			best, near, ok = d, s, true
		}
	}
	return near, ok
}

// loose remarks on bodies that are not part of the largest one, once for each block of
// the recipe, and on hollows.
func (m *Model) loose(c *Casting) lang.Diags {
	var all lang.Diags
	main := 0
	for i, b := range c.Report.Bodies {
		if b.Volume > c.Report.Bodies[main].Volume {
			main = i
		}
		if b.Voids > 0 {
			all = append(all, m.remark(lang.Caution, m.ownerOf(c, b.Tags), fmt.Sprintf("%d trapped hollow in casting %s", b.Voids, c.Name),
				"investment inside could not be washed out: open it"))
		}
	}
	var owners []piece.Owner // of the first loose body of each block
	count := map[string]int{}
	first := map[string]manifold.Body{}
	for i, b := range c.Report.Bodies {
		if i == main {
			continue
		}
		o := m.ownerOf(c, b.Tags)
		if count[o.Address]++; count[o.Address] == 1 {
			owners, first[o.Address] = append(owners, o), b
		}
	}
	for _, o := range owners {
		b, n := first[o.Address], count[o.Address]
		says := fmt.Sprintf("a loose body of %.3g mm3 at %s: it hangs on nothing of casting %s", b.Volume, Place(b.Box.Center()), c.Name)
		if n > 1 {
			o.N = 0
			says = fmt.Sprintf("%d loose bodies, the first of %.3g mm3 at %s: they hang on nothing of casting %s", n, b.Volume, Place(b.Box.Center()), c.Name)
		}
		all = append(all, m.remark(lang.Fault, o, says, m.joining(o)))
	}
	return all
}

// joining says what makes a loose bit of metal reach what carries it: where it is loose
// because a stone reaches beyond its plate, that the plate has to be larger.
func (m *Model) joining(o piece.Owner) string {
	for _, h := range m.Piece.Overhangs(0) {
		if m.Piece.Loosens(h, o) {
			return fmt.Sprintf("the largest of %s reaches %.2f mm beyond %s: make the plate larger, or the stone smaller", h.Stone.Group, h.By, h.Plate.Address)
		}
	}
	return joins[o.Role]
}

// joins is what makes a loose bit of metal reach what carries it, by what it is.
var joins = map[piece.Role]string{
	piece.PlateRole:   "something cuts it off its plate: make the opening, or depth of the rays, smaller",
	piece.BezelRole:   "make the plate reach under the bezel, or move the stones onto it",
	piece.ProngRole:   "make wire or cover of the prongs larger, or the plate wider, so that they stand on metal",
	piece.GalleryRole: "make inset of the gallery larger, so that its rim lies under the plate",
	piece.BailRole:    "make sink of the bail larger",
	piece.LinkRole:    "make wire of the link larger",
	piece.PostRole:    "move the post onto metal: by at and out, or by xy",
}

// unresolved remarks on places finer than the mesh, one remark a pair of owners.
func (m *Model) unresolved(c *Casting) lang.Diags {
	var all lang.Diags
	seen := map[string]int{} // by both owners -> index in all
	counts := map[string]int{}
	for _, s := range c.Unresolved {
		tags := s.Tags[:]
		names := m.names(tags)
		key := strings.Join(names, " and ")
		counts[key]++
		if _, ok := seen[key]; ok {
			continue
		}
		seen[key] = len(all)
		what := "a wall or gap"
		if len(names) > 1 {
			what = "a gap between " + key
		}
		all = append(all, m.remark(lang.Caution, m.ownerOf(c, tags),
			fmt.Sprintf("%s of %.3g mm at %s is finer than the mesh", what, s.Width, Place(s.At)),
			"it may be closed or torn in the model: widen it, or ask for a smaller --tolerance"))
	}
	for key, i := range seen {
		if n := counts[key]; n > 1 {
			all[i].Summary += fmt.Sprintf(", and at %d more places", n-1)
		}
	}
	return all
}

// root returns the owner of a casting as a whole.
func (m *Model) root(c *Casting) piece.Owner {
	return piece.Owner{Address: m.Piece.Castings[c.Of].Root, Casting: c.Of}
}

// ownerOf returns the owner of the first tag that has one, else the casting's.
func (m *Model) ownerOf(c *Casting, tags []uint32) piece.Owner {
	for _, t := range tags {
		if t > 0 && int(t) <= len(m.Piece.Owners) {
			return m.Piece.Owners[t-1]
		}
	}
	return m.root(c)
}

// names returns the names of the tags' owners, each once, in order.
func (m *Model) names(tags []uint32) []string {
	var all []string
	for _, t := range tags {
		if t > 0 && int(t) <= len(m.Piece.Owners) {
			all = append(all, ownerName(m.Piece.Owners[t-1]))
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// ownerName writes an owner as "prongs.inner 3".
func ownerName(o piece.Owner) string {
	if o.N == 0 {
		return o.Address
	}
	return fmt.Sprintf("%s %d", o.Address, o.N)
}

// remark makes a diagnostic at the block of an owner.
func (m *Model) remark(s lang.Severity, o piece.Owner, problem, fix string) lang.Diag {
	if o.N > 0 {
		problem = fmt.Sprintf("number %d: %s", o.N, problem)
	}
	return m.Piece.Recipe.Remark(s, o.Address, "", problem, fix)
}

// Place writes a point for people.
func Place(p vec.P) string { return fmt.Sprintf("(%.2f, %.2f, %.2f)", p.X, p.Y, p.Z) }
