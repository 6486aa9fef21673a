package contour

import (
	"math"

	"waxwright/geom/sdf"
	"waxwright/geom/vec"
)

// onFace is how near in mm to a face a vertex lies that is solved on it:
// Newton's steps end at roundings of 1e-13, and float32 files hold 1e-6.
const onFace = 1e-8

// onBoth is how near in mm to each of several faces a vertex lies that stands for all
// of them: what is solved on some need not be as near to the others.
const onBoth = 10 * onFace

// parallel is the sine of the angle below which two faces run into each other
// as one: a crease of 1 degree over a cell of 0.1 mm rises less than 1 um.
const parallel = 0.02

// crossing is an edge of a cell that the surface crosses.
type crossing struct {
	in, out vec.P // its inner and its outer end
	at      vec.P
	word    sdf.Word
}

// solver finds the vertex of one patch of surface in one cell. Outline: the
// crossings on the cell's edges tell which faces meet in the cell; the vertex
// is the point of these faces nearest to the crossings' mean. One face gives a
// smooth vertex, two the middle of their crease's way through the cell, three
// their corner. What none of these explains is a fault.
type solver struct {
	block *sdf.Local // true in the block and one cell round it
	local sdf.Local  // true in the cell
	words []sdf.Word // of local, one for each face
	lo    vec.P      // the cell's low corner
	h     float64    // and size

	seen []sdf.Word // faces that the crossings lie on
}

// enter makes ready for a cell of block.
func (s *solver) enter(block *sdf.Local, lo vec.P, h float64) {
	s.block, s.lo, s.h = block, lo, h
	half := h / 2
	s.block.PruneFine(&s.local, lo.Add(vec.P{X: half, Y: half, Z: half}), half*cellSlack)
	s.words = distinct(&s.local, s.words[:0], s.local.Words(s.seen[:0]))
}

// cellSlack is how much larger than a cell its program is true: vertices that
// lie on the cell's border may be a little outside.
const cellSlack = 1.05

// distinct appends to to the words that name different surfaces.
func distinct(local *sdf.Local, to, from []sdf.Word) []sdf.Word {
next:
	for _, w := range from {
		id := local.Same(w)
		for _, x := range to {
			if local.Same(x) == id {
				continue next
			}
		}
		to = append(to, w)
	}
	return to
}

// holds reports whether p lies in the cell, or no farther outside than its
// program is true.
func (s *solver) holds(p vec.P) bool { return holds(s.lo, s.h, p) }

// holds reports whether p lies in the cell of edge h at lo, or hardly outside.
func holds(lo vec.P, h float64, p vec.P) bool {
	e := h * (cellSlack - 1) / 2
	d := p.Sub(lo)
	return d.X >= -e && d.Y >= -e && d.Z >= -e && d.X <= h+e && d.Y <= h+e && d.Z <= h+e
}

// valid reports whether p lies in the cell and on the surface.
func (s *solver) valid(p vec.P) bool {
	if !s.holds(p) {
		return false
	}
	v, _ := s.local.At(p)
	return math.Abs(v) <= onFace
}

// patch returns the vertex of the patch that the crossings bound; good is
// false when it does not stand for all that the crossings show.
func (s *solver) patch(cr []crossing) (v vertex, good bool) {
	if len(s.words) == 1 && !s.local.Rough(s.words[0]) {
		return s.single(s.words[0], cr), true
	}
	mean := vec.P{}
	s.seen = s.seen[:0]
	for i := range cr {
		s.root(&cr[i])
		mean = mean.Add(cr[i].at)
		s.seen = distinct(&s.local, s.seen, []sdf.Word{cr[i].word})
	}
	mean = mean.Mul(1 / float64(len(cr)))
	v.tag = s.local.Tag(s.seen[0])

	switch len(s.seen) {
	case 1:
		good = s.one(&v, mean)
	case 2:
		good = s.two(&v, mean)
	default:
		good = s.several(&v, mean)
	}
	return v, good
}

// root finds where the surface crosses the edge: regula falsi, Illinois
// variant.
func (s *solver) root(c *crossing) {
	a, b := 0.0, 1.0
	fa, _ := s.local.At(c.in)
	fb, w := s.local.At(c.out)
	t := 0.5
	last := 0
	for range 60 {
		if fb > fa {
			t = (float64(a*fb) - float64(b*fa)) / (fb - fa)
		}
		if !(t > a && t < b) {
			t = (a + b) / 2
		}
		var f float64
		c.at = c.in.Lerp(c.out, t)
		f, w = s.local.At(c.at)
		if math.Abs(f) <= onFace || (b-a)*s.h <= onFace {
			break
		}
		if f < 0 {
			a, fa = t, f
			if last < 0 {
				fb /= 2
			}
			last = -1
		} else {
			b, fb = t, f
			if last > 0 {
				fa /= 2
			}
			last = 1
		}
	}
	c.word = w
}

// single is the vertex of a cell with a single face.
func (s *solver) single(w sdf.Word, cr []crossing) vertex {
	v := vertex{mark: mark{tag: s.local.Tag(w)}}
	if s.tip(&v, w) {
		return v
	}
	mean := vec.P{}
	for i := range cr {
		a, b := s.local.Value(w, cr[i].in), s.local.Value(w, cr[i].out)
		t := 0.5
		if a < 0 && b >= 0 {
			t = a / (a - b)
		}
		mean = mean.Add(cr[i].in.Lerp(cr[i].out, t))
	}
	v.at = land(&s.local, w, mean.Mul(1/float64(len(cr))))
	return v
}

// land takes p to a face by a few of Newton's steps.
func land(local *sdf.Local, w sdf.Word, p vec.P) vec.P {
	for range 3 {
		f, g := local.Slope(w, p)
		if f == 0 {
			break
		}
		p = p.Sub(g.Mul(f / g.Len2()))
		if math.Abs(f) < onFace {
			break
		}
	}
	return p
}

// tip moves the vertex to a tip of the face that lies in the cell.
func (s *solver) tip(v *vertex, w sdf.Word) bool {
	for _, t := range s.local.Tips(w) {
		if s.valid(t) {
			v.at, v.class = t, corner
			return true
		}
	}
	return false
}

// one is the vertex where all crossings lie on one face. Another face may
// still nick the cell: then the vertex lies on their crease.
func (s *solver) one(v *vertex, mean vec.P) bool {
	w := s.seen[0]
	if s.tip(v, w) {
		return true
	}
	q, ok := s.local.Meet(mean, w)
	if ok && s.valid(q) {
		v.at = q
	} else {
		ok = false
	}
	best := math.Inf(1)
	for _, x := range s.words {
		if s.local.Same(x) == s.local.Same(w) {
			continue
		}
		if c, how := s.creaseIn(mean, w, x); how == inCell {
			if d := c.Sub(mean).Len2(); d < best {
				best, v.at, v.class, ok = d, c, crease, true
			}
			s.nickedCorner(v, w, x)
		}
	}
	if ok {
		return !s.local.Rough(w)
	}
	s.fallback(v, mean)
	return false
}

// two is the vertex where the crossings lie on two faces.
func (s *solver) two(v *vertex, mean vec.P) bool {
	a, b := s.seen[0], s.seen[1]
	q, how := s.creaseIn(mean, a, b)
	switch how {
	case inCell:
		v.at, v.class = q, crease
		s.nickedCorner(v, a, b)
		return true
	case alongside:
		q, _, _ := s.local.Project(mean)
		v.at = q
		return s.valid(q)
	}
	if s.nickedCorner(v, a, b) {
		return true
	}
	if how == outside && s.escape(v, q) {
		v.class = crease
		return true
	}
	s.fallback(v, mean)
	return false
}

// nickedCorner moves the vertex of a crease to a corner with a third face in
// the cell.
func (s *solver) nickedCorner(v *vertex, a, b sdf.Word) bool {
	if len(s.words) < 3 {
		return false
	}
	for _, x := range s.words {
		if id := s.local.Same(x); id == s.local.Same(a) || id == s.local.Same(b) {
			continue
		}
		start := s.lo.Add(vec.P{X: s.h / 2, Y: s.h / 2, Z: s.h / 2})
		if q, ok := s.local.Meet(start, a, b, x); ok && s.valid(q) && s.sharp(q, a, b, x) {
			v.at, v.class = q, corner
			return true
		}
	}
	return false
}

// sharp reports whether three faces meet in a corner rather than run into each
// other.
func (s *solver) sharp(q vec.P, a, b, c sdf.Word) bool {
	_, na := s.local.Slope(a, q)
	_, nb := s.local.Slope(b, q)
	_, nc := s.local.Slope(c, q)
	return na.Cross(nb).Len() > parallel && nb.Cross(nc).Len() > parallel && nc.Cross(na).Len() > parallel
}

// several is the vertex where the crossings lie on three faces or more.
func (s *solver) several(v *vertex, mean vec.P) bool {
	seen := s.seen
	best := math.Inf(1)
	var away vec.P
	far := math.Inf(1)
	for i := range seen {
		for j := 0; j < i; j++ {
			for k := 0; k < j; k++ {
				q, ok := s.local.Meet(mean, seen[i], seen[j], seen[k])
				if !ok {
					continue
				}
				d := q.Sub(mean).Len2()
				if d < best && s.valid(q) {
					best, v.at, v.class = d, q, corner
				} else if d < far {
					far, away = d, q
				}
			}
		}
	}
	if !math.IsInf(best, 1) {
		return s.vanish(v.at)
	}
	beside := !math.IsInf(far, 1) && s.near(away) && s.vanish(away)
	if out := s.out(away); beside && (out <= shareCorner*s.h || out <= s.h && !s.shown(away)) {
		v.at, v.class = away, corner
		return true
	}
	for i := range seen {
		for j := 0; j < i; j++ {
			q, how := s.creaseIn(mean, seen[i], seen[j])
			if how != inCell {
				continue
			}
			if d := q.Sub(mean).Len2(); d < best {
				best, v.at, v.class = d, q, crease
			}
		}
	}
	if !math.IsInf(best, 1) {
		return beside || s.vanish(v.at)
	}
	s.fallback(v, mean)
	return beside
}

// vanish reports whether all faces of the crossings pass through p.
func (s *solver) vanish(p vec.P) bool {
	for _, w := range s.seen {
		if math.Abs(s.local.Value(w, p)) > onBoth {
			return false
		}
	}
	return true
}

// fault describes what the crossings of a patch show and its vertex does not
// explain.
func (s *solver) fault(v *vertex, cell uint8) fault {
	f := fault{cell: cell, at: v.at, width: s.h, tags: [2]uint32{v.tag, v.tag}}
	if len(s.seen) > 1 {
		f.width = 0
		for i, w := range s.seen[:2] {
			f.tags[i] = s.local.Tag(w)
			f.width += math.Abs(s.local.Value(w, v.at))
		}
		f.tip = tip(&s.local, v.at, s.h, s.seen[0], s.seen[1])
	}
	return f
}

// fallback puts the vertex on the surface near the mean, whatever is there.
func (s *solver) fallback(v *vertex, mean vec.P) {
	q, _, tag := s.local.Project(mean)
	if !s.holds(q) {
		q = mean
	}
	v.at, v.class, v.tag = q, smooth, tag
}
