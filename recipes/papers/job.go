package papers

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"waxwright/recipes/proof"
	"waxwright/solids/stock"
)

// Proof is the proof in short.
type Proof struct {
	House     string   `json:"house"`
	Fails     int      `json:"fails"`
	Cautions  int      `json:"cautions"`
	Notes     int      `json:"notes"`
	Unchecked int      `json:"unchecked"`          // what was not judged, said among the remarks
	Remarks   []Remark `json:"remarks"`            // worst first
	Accepted  []Remark `json:"accepted,omitempty"` // what the recipe accepts, with its reason
}

// Remark is a remark of the proof as a sheet prints it.
type Remark struct {
	Key    string `json:"key"` // "stones.petals/spacing"
	Group  string `json:"group"`
	Grade  string `json:"grade"` // "fail", "caution", "note", "not checked"
	Part   string `json:"part"`
	Says   string `json:"says"`
	Why    string `json:"why,omitempty"`
	Limit  string `json:"limit,omitempty"` // and where it comes from
	Count  int    `json:"count"`
	Line   int    `json:"line,omitempty"`   // of the recipe
	Reason string `json:"reason,omitempty"` // why it is accepted
}

// summary takes over what the proof found.
func summary(r *proof.Report) Proof {
	p := Proof{House: r.House, Fails: r.Count(proof.Fail), Cautions: r.Count(proof.Caution), Notes: r.Count(proof.Note), Unchecked: r.Count(proof.Unchecked), Remarks: []Remark{}}
	sorted := slices.Clone(r.Remarks)
	slices.SortStableFunc(sorted, func(a, b proof.Remark) int { return cmp.Compare(a.Grade, b.Grade) })
	for _, m := range sorted {
		p.Remarks = append(p.Remarks, remark(m))
	}
	for _, a := range r.Accepted {
		m := remark(a.Remark)
		m.Reason, m.Line = a.Reason, a.Line
		p.Accepted = append(p.Accepted, m)
	}
	return p
}

func remark(m proof.Remark) Remark {
	return Remark{
		Key: m.Key(), Group: string(m.Group), Grade: m.Grade.String(), Part: m.Part,
		Says: m.Says, Why: m.Why, Limit: m.Source, Count: m.Count, Line: m.Span.Line,
	}
}

// stop says on every sheet that leads to metal that the piece is not ready, and
// where the proof is listed.
func (p Proof) stop(listed string) []block {
	if p.Fails == 0 {
		return nil
	}
	return []block{para{strong: true, text: fmt.Sprintf("The proof has %s, listed %s: do not cast before all is settled.", proof.Counted(p.Fails, "fail"), listed)}}
}

// Weights are what scales should show, g.
type Weights struct {
	Cast     float64 `json:"cast"` // of all castings, with their growth for the finish
	CastSet  float64 `json:"castWithStones"`
	Finished float64 `json:"finished"` // the same, finished and set
	Stones   float64 `json:"stones"`   // of all stones needed
	Worn     float64 `json:"worn"`     // one ear, or the whole piece: finished, with stones
	Melt     float64 `json:"melt"`     // to melt, with sprues and button
	Sprue    float64 `json:"sprueFactor"`
}

// SprueFactor is how much metal is melted for a gram of castings: sprues and
// button come to half of it. Published allowances differ: 10 % of the wax
// (Romanoff, "Wax weight vs. metal weight"), 25 to 50 % (common practice, no
// source); small pieces need the larger share.
const SprueFactor = 1.5

func weigh(s Source, lots []Lot) Weights {
	w := Weights{Cast: s.Cast.Grams(), Finished: s.Finished.Grams(), Sprue: SprueFactor}
	for _, l := range lots {
		w.Stones += l.Together * stock.Carat
	}
	w.CastSet = w.Cast + w.Stones
	w.Worn = w.Finished + w.Stones
	if s.Cast.Piece.Pair != 0 {
		w.Worn /= 2
	}
	w.Melt = w.Cast * w.Sprue
	return w
}

// grams writes a weight with the digits that scales have.
func grams(g float64) string {
	if g < 1 {
		return fmt.Sprintf("%.3f g", g)
	}
	return fmt.Sprintf("%.2f g", g)
}

func (p *Papers) jobSheet(art *Art) sheet {
	s := sheet{name: "job", title: "Job sheet"}
	stop := p.Proof.stop("below")
	about := facts{}
	about.add("For", p.off())
	about.add("Metal", alloyText(p.Piece.Alloy))
	about.add("Finish", p.Piece.Finish)
	about.add("Castings", castingsText(p.Castings))
	about.add("Stones", lotsText(p.Lots))
	about.add("Files", p.Piece.State+"; "+p.Piece.Scaling)
	large := figures{[]figure{{art: art.Quarter, alt: "the piece, three-quarter view"}}}
	row := figures{[]figure{{art: art.Front, caption: "front"}, {art: art.Side, caption: "side"}, {art: art.Back, caption: "back"}}}
	words := part{1, []block{about, heading{"Weights"}, p.weightFacts()}}
	var drawing []block
	if art.Drawing != nil {
		drawing = []block{heading{"Drawing, finished, with stones"}, figures{[]figure{{art: art.Drawing, alt: "dimensioned drawing"}}}}
	}
	belong := []block{heading{"These papers belong to"}, para{quiet: true, text: p.belonging()}}
	last := belong
	if len(p.Dials) > 0 {
		last = []block{columns{[]part{{1, p.dialFacts()}, {1, belong}}}}
	}
	s.blocks = slices.Concat(stop, []block{columns{[]part{{1.25, []block{large}}, words}}, row}, drawing, p.dialTable(), p.proofBlocks(), belong)
	s.close = slices.Concat(stop, []block{columns{[]part{{1, []block{smaller(large), smaller(row)}}, words}}}, drawing, p.proofBlocks(), last)
	return s
}

// smaller are figures with their photos in two thirds of their room.
func smaller(f figures) figures {
	out := figures{slices.Clone(f.list)}
	for i, g := range out.list {
		if p, ok := g.art.(photo); ok {
			out.list[i].art = p.smaller(2.0 / 3)
		}
	}
	return out
}

// dialTable lists the dials as they stand, if there are any.
func (p *Papers) dialTable() []block {
	if len(p.Dials) == 0 {
		return nil
	}
	t := table{cols: []column{{"dial", left}, {"value", right}, {"range", right}, {"", left}}}
	for _, d := range p.Dials {
		t.row(d.Name, d.Value, rangeText(d.Range), d.Note)
	}
	return []block{heading{"Dials"}, t}
}

// dialFacts says the same in less room.
func (p *Papers) dialFacts() []block {
	f := facts{}
	for _, d := range p.Dials {
		says := d.Value
		if r := rangeText(d.Range); r != "" {
			says += " (" + r + ")"
		}
		if d.Note != "" {
			says += ", " + d.Note
		}
		f.add(d.Name, says)
	}
	return []block{heading{"Dials"}, f}
}

func (p *Papers) weightFacts() facts {
	w, f := p.Weights, facts{}
	f.add("Metal as cast", grams(w.Cast))
	f.add("Metal, finished", grams(w.Finished))
	if w.Stones > 0 {
		f.add("Stones", grams(w.Stones))
	}
	if p.Piece.Ears == 2 {
		f.add("One ear, worn", grams(w.Worn))
	} else {
		f.add("Worn", grams(w.Worn))
	}
	f.add(fmt.Sprintf("To melt, ×%g", w.Sprue), grams(w.Melt)+", with sprues and button ("+stock.Common+")")
	return f
}

func (p *Papers) proofBlocks() []block {
	q := p.Proof
	list := items{}
	for i, r := range q.Remarks {
		note := proof.Sentence(r.Why)
		if r.Limit != "" {
			note = strings.TrimSpace(note + " Limit: " + r.Limit + ".")
		}
		if i+1 < len(q.Remarks) && q.Remarks[i+1].Why == r.Why && q.Remarks[i+1].Limit == r.Limit {
			note = "" // it stands under the last that it is said of
		}
		list.add(r.Grade, r.text(), note)
	}
	for _, r := range q.Accepted {
		list.add("accepted", fmt.Sprintf("%s, %s", r.Grade, r.text()), "Accepted by the maker: "+proof.Sentence(r.Reason))
	}
	said := fmt.Sprintf("By the limits of the house %q: %s, %s, %s%s. The proof judges the model; it promises nothing of casting, setting or wearing.",
		q.House, proof.Counted(q.Fails, "fail"), proof.Counted(q.Cautions, "caution"), proof.Counted(q.Notes, "note"), q.acceptedText())
	if q.Unchecked == 0 {
		return []block{heading{"Proof"}, para{text: said + " Nothing that this piece calls for was left out."}, list}
	}
	unchecked := fmt.Sprintf("Not checked: %d of what the proof asks, see below.", q.Unchecked)
	return []block{heading{"Proof"}, para{text: said}, para{strong: true, text: unchecked}, list}
}

// acceptedText counts what is accepted, if anything is.
func (p Proof) acceptedText() string {
	if len(p.Accepted) == 0 {
		return ""
	}
	return fmt.Sprintf("; %d accepted by the maker", len(p.Accepted))
}

// text says what is remarked on, and in how many places.
func (r Remark) text() string {
	if r.Count > 1 {
		return fmt.Sprintf("%s: %s (%d places)", r.Part, r.Says, r.Count)
	}
	return r.Part + ": " + r.Says
}

// belonging names the recipe and the models with the beginnings of their
// fingerprints: enough to tell two states of a piece apart.
func (p *Papers) belonging() string {
	const beginning = 8
	all := []string{fmt.Sprintf("%s (recipe %s)", p.Recipe.Name, p.Piece.Digest[:beginning])}
	for _, m := range p.Models {
		all = append(all, fmt.Sprintf("%s (%s)", m.Name, m.SHA256[:beginning]))
	}
	return strings.Join(all, ", ") + ". In brackets the first letters of their fingerprints, sha256; the caster's order has them whole."
}

func (p *Papers) fingerprints() block {
	f := facts{mono: true}
	f.add(p.Recipe.Name, "recipe "+p.Piece.Digest)
	for _, m := range p.Models {
		f.add(m.Name, "sha256 "+m.SHA256)
	}
	return f
}

func alloyText(name string) string {
	a, _ := stock.AlloyNamed(name)
	text := fmt.Sprintf("%s, %.2f g/cm³", a.Title(), a.Density)
	if a.Base == "gold" { // other metals are called by it
		text += fmt.Sprintf(", fineness %d", a.Fineness)
	}
	return text
}

func castingsText(cs []Casting) string {
	n := 0
	for _, c := range cs {
		n += c.Quantity
	}
	return fmt.Sprintf("%s from %s", proof.Counted(n, "casting"), proof.Counted(len(cs), "file"))
}

func lotsText(ls []Lot) string {
	if len(ls) == 0 {
		return "none"
	}
	var all []string
	for _, l := range ls {
		all = append(all, fmt.Sprintf("%d %s, %s, %.2f mm", l.Needed, l.title(), l.Cut, l.Size))
	}
	return strings.Join(all, "; ")
}

func rangeText(r []float64) string {
	if len(r) != 2 {
		return ""
	}
	return number(r[0]) + " to " + number(r[1])
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
