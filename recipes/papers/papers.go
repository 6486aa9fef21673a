// Package papers writes what goes with a piece: the job sheet, the setting sheet,
// the stone order, the caster's order, the findings, and the cautions, as PDF and
// HTML, the lists as CSV, all of it as JSON.
//
// Gather takes a model and its proof apart into Papers, plain values that JSON
// holds as they are. Each sheet is a file of this package: what it needs, how it
// is found, and how it reads. A sheet is a row of blocks (text, facts, tables,
// figures) that know nothing of paper; two printers, for PDF and HTML, lay them
// out.
//
// Guaranteed: the same piece, proof and options give the same bytes of every
// file; no date stands in them that was not asked for; the files appear all
// together or not at all; a price that the recipe does not have is not made up;
// on PDF pages no text overlaps a text, a line or a figure. Not guaranteed: that
// a caster, a setter or an office asks for no more.
//
// Lengths are mm, weights g, of stones ct.
package papers

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"

	"waxwright/recipes/build"
	"waxwright/recipes/piece"
	"waxwright/recipes/proof"
	"waxwright/solids/stock"
)

// Schema names the form of the JSON file. Its number changes when a field goes
// or changes its meaning.
const Schema = "waxwright.papers.1"

// Papers is all that the sheets say.
type Papers struct {
	Schema   string          `json:"schema"`
	Date     string          `json:"date,omitempty"` // as asked for
	Piece    Piece           `json:"piece"`
	Dials    []Dial          `json:"dials"`
	Proof    Proof           `json:"proof"`
	Lots     []Lot           `json:"stones"`
	Settings []Setting       `json:"settings"`
	Order    []Place         `json:"order"` // in which stones are set
	Castings []Casting       `json:"castings"`
	Matters  []Dimension     `json:"dimensions"`
	KeepFree []Surface       `json:"keepFree"`
	Weights  Weights         `json:"weights"`
	Findings []Finding       `json:"findings"`
	Cautions []stock.Warning `json:"cautions"`
	Cost     *Cost           `json:"cost,omitempty"` // nil: the recipe has no prices
	Recipe   Fingerprint     `json:"recipe"`
	Models   []Fingerprint   `json:"models"` // what make writes
	Files    []Fingerprint   `json:"papers"` // what was written with the JSON
}

// Piece is what the piece is called and how it is made.
type Piece struct {
	Title    string  `json:"title"`
	Slug     string  `json:"slug"`
	Designer string  `json:"designer,omitempty"`
	Alloy    string  `json:"alloy"`
	Pair     string  `json:"pair"`
	Ears     int     `json:"ears"`     // 2 for a pair, else 1
	Mirrored bool    `json:"mirrored"` // a casting that holds stones has a mirror image of its own, for the second ear
	State    string  `json:"state"`
	Finish   string  `json:"finish"`
	Scale    float64 `json:"scale"`
	Scaling  string  `json:"scaling"`
	House    string  `json:"house"`
	Digest   string  `json:"digest"` // of the recipe with its dials as they stand
	Tol      float64 `json:"tolerance"`
}

// Dial is a dial as it stands.
type Dial struct {
	Name  string    `json:"name"`
	Value string    `json:"value"`
	Range []float64 `json:"range,omitempty"`
	Note  string    `json:"note,omitempty"`
}

// Fingerprint tells a file from all others.
type Fingerprint struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"` // of its bytes, hexadecimal
}

// Source is what papers are made from.
type Source struct {
	Cast     *build.Model  // for casting
	Finished *build.Model  // the same piece, set, within build.DefaultTol: for pictures, its weight, and a drawing without facets
	Proof    *proof.Report // of Cast
	Name     string        // of the recipe's file, without its folder
	Recipe   []byte        // the bytes of that file
}

// Options for Gather and Write. The zero Options ask for all sheets on A4.
type Options struct {
	Paper   Paper
	Only    string // one sheet by name; "" for all
	Date    string // "2026-11-25" to print; "" for none
	Pixels  int    // width of the largest picture; 0 for 1500
	Workers int    // 0: as many as there are processors
}

// Gather finds out all that the sheets say. It fails when the models can't be
// written, and when ctx ends.
func Gather(ctx context.Context, s Source, o Options) (*Papers, error) {
	if s.Cast.Piece.For != piece.ForCasting || s.Finished.Piece.For != piece.Finished {
		return nil, fmt.Errorf("papers need a model for casting and a finished one, not %s and %s", s.Cast.Piece.For, s.Finished.Piece.For)
	}
	m := s.Cast
	p := &Papers{Schema: Schema, Date: o.Date, Piece: aboutPiece(m, s.Proof.House), Dials: dials(m.Piece)}
	p.Proof = summary(s.Proof)
	p.Lots = lots(m.Piece, p.Piece.Ears)
	p.Settings = settings(m.Piece)
	p.Order = order(m.Piece)
	p.Castings = castings(m)
	p.Matters = dimensions(m.Piece, s.Proof.House)
	p.KeepFree = keepFree(m.Piece)
	p.Findings = findings(m.Piece, p.Piece.Ears)
	p.Cautions = cautions(m.Piece)
	p.Weights = weigh(s, p.Lots)
	p.Cost = cost(m, p)
	p.Recipe = Fingerprint{s.Name, sum(s.Recipe)}
	for _, out := range m.Outputs() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		h := sha256.New()
		if err := out.Write(h); err != nil {
			return nil, fmt.Errorf("%s: %w", out.Name, err)
		}
		p.Models = append(p.Models, Fingerprint{out.Name, hex.EncodeToString(h.Sum(nil))})
	}
	return p, nil
}

func sum(b []byte) string {
	s := sha256.Sum256(b)
	return hex.EncodeToString(s[:])
}

func aboutPiece(m *build.Model, house string) Piece {
	p := m.Piece
	ears := 1
	if p.Pair != piece.Single {
		ears = 2
	}
	return Piece{
		Title: p.Title, Slug: p.Slug, Designer: p.Designer, Alloy: p.Alloy.Name,
		Pair: p.Pair.String(), Ears: ears, Mirrored: mirrored(m), State: p.State(), Finish: p.Finish.Name,
		Scale: p.Scale, Scaling: p.Scaling(), House: house,
		Digest: hex.EncodeToString(p.Digest[:]), Tol: m.Tol,
	}
}

// mirrored says whether a casting that holds stones has a mirror image of its own.
func mirrored(m *build.Model) bool {
	return slices.ContainsFunc(m.Castings, func(c build.Casting) bool {
		return c.Mirrored && len(m.Piece.Castings[c.Of].Stones) > 0
	})
}

func dials(p *piece.Piece) []Dial {
	all := []Dial{}
	for _, d := range p.Recipe.Dials() {
		all = append(all, Dial{d.Name, d.Value.String(), d.Range, d.Note})
	}
	return all
}

// Mark is the short name of the recipe and its models, as printed at the foot of
// every sheet: the beginnings of the recipe's digest and of one over all models.
func (p *Papers) Mark() string {
	h := sha256.New()
	for _, m := range p.Models {
		fmt.Fprintln(h, m.SHA256)
	}
	return "recipe " + p.Piece.Digest[:8] + ", models " + hex.EncodeToString(h.Sum(nil))[:8]
}
