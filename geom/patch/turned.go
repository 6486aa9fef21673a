package patch

import (
	"math"

	"waxwright/geom/outline"
	"waxwright/geom/vec"
)

// turned is a smooth run of a turned outline, laid out by the length along it,
// the end nearer to the axis first.
type turned struct {
	spans []outline.Span
	from  []float64 // the length before each, mm
}

func turnedRun(run []outline.Span) turned {
	t := turned{spans: run}
	if n := len(run); run[n-1].B.X < run[0].A.X {
		t.spans = nil
		for i := range run {
			t.spans = append(t.spans, run[n-1-i].Reverse())
		}
	}
	sum := 0.0
	for _, s := range t.spans {
		t.from = append(t.from, sum)
		sum += s.Len
	}
	return t
}

// length returns how far along the run its nearest point to q lies. The run is
// extended by its tangents.
func (t *turned) length(q vec.P2) float64 {
	best, at := math.Inf(1), 0.0
	for i, s := range t.spans {
		if f := s.Near(q); f.Dist < best {
			best, at = f.Dist, t.from[i]+f.T*s.Len
		}
	}
	last := len(t.spans) - 1
	if s := &t.spans[0]; at == 0 {
		at = min(0, q.Sub(s.A).Dot(s.T0))
	} else if s := &t.spans[last]; at == t.from[last]+s.Len {
		at += max(0, q.Sub(s.B).Dot(s.T1))
	}
	return at
}

// at returns the point at a length.
func (t *turned) at(length float64) vec.P2 {
	i := len(t.spans) - 1
	for i > 0 && t.from[i] > length {
		i--
	}
	s := &t.spans[i]
	switch in := length - t.from[i]; {
	case in < 0:
		return s.A.Add(s.T0.Mul(in))
	case in > s.Len:
		return s.B.Add(s.T1.Mul(in - s.Len))
	default:
		return s.Point(in / s.Len)
	}
}
