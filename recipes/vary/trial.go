package vary

import (
	"maps"

	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
)

// depth is how thoroughly a trial looks.
type depth uint8

const (
	bare   depth = iota // no metal: what follows from the recipe alone
	coarse              // a coarse mesh, the group of one remark
	proved              // as Prove does it
)

// coarseTol is the tolerance of trials on the way, mm: a tenth of the thinnest
// limits, and the last trial is at the tolerance of the call.
const coarseTol = 0.02

// outcome is what became of a trial.
type outcome struct {
	src     []byte
	piece   *piece.Piece
	diags   lang.Diags // why the recipe was not read
	why     string     // why it was not modelled
	remarks []proof.Remark
	report  *proof.Report
	grams   float64
}

// made says whether there is a piece to speak of.
func (o outcome) made() bool { return o.report != nil }

// try compiles, models and proves a recipe. only are the groups that are asked,
// nil all. What cannot be made is no error; the end of the context is.
func (s *search) try(src []byte, set map[string]string, how depth, only []proof.Group) (outcome, error) {
	o := outcome{src: src}
	if err := s.ctx.Err(); err != nil {
		return o, err
	}
	p, diags := piece.Read(src, s.c.Name, set)
	if p == nil {
		o.diags = diags
		return o, nil
	}
	o.piece = p
	m := &build.Model{Piece: p}
	if how != bare {
		s.spent++
		s.beat()
		tol := s.o.Tol
		if how == coarse {
			tol = max(tol, coarseTol)
		}
		var err error
		m, err = build.Make(s.ctx, p, build.Options{Tol: tol, Workers: s.o.Workers, Cache: s.o.Cache})
		if err != nil {
			o.why = err.Error()
			return o, s.ctx.Err()
		}
		o.grams = m.Grams()
	}
	asked := s.o.Proof
	asked.Only = only
	report, err := proof.Prove(s.ctx, m, asked)
	if err != nil {
		if s.ctx.Err() != nil {
			return o, s.ctx.Err()
		}
		return o, err
	}
	o.report, o.remarks = report, report.Remarks
	return o, nil
}

// turned is the recipe, and the dials that are set, with a lever at a value.
func (s *search) turned(l lever, text string) ([]byte, map[string]string, error) {
	if l.set {
		set := maps.Clone(s.c.Set)
		set[l.dial] = text
		return s.c.Src, set, nil
	}
	if l.added {
		src, err := lang.AddLiteral(s.c.Src, l.address, l.word, text)
		return src, s.c.Set, err
	}
	src, err := lang.SetLiteral(s.c.Src, l.address, l.word, text)
	return src, s.c.Set, err
}
