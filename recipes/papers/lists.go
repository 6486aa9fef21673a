package papers

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// list is a table for spreadsheets.
type list struct {
	name string // ends the file's name
	of   string // the sheet that it belongs to
	rows func(*Papers) [][]string
}

// lists are the CSV files: RFC 4180 with plain numbers, a point in them, in UTF-8
// behind the mark by which spreadsheets know it.
var lists = []list{
	{"stone-order", "stones", (*Papers).stoneRows},
	{"castings", "caster", (*Papers).castingRows},
	{"findings", "findings", (*Papers).findingRows},
}

// byteOrderMark begins a file in UTF-8; without it spreadsheets take the letters
// of the machine's old code page.
const byteOrderMark = "\ufeff"

func writeCSV(w io.Writer, rows [][]string) error {
	if _, err := io.WriteString(w, byteOrderMark); err != nil {
		return err
	}
	c := csv.NewWriter(w)
	c.UseCRLF = true
	for _, row := range rows {
		safe := make([]string, len(row))
		for i, cell := range row {
			safe[i] = harmless(cell)
		}
		if err := c.Write(safe); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// harmless returns a cell that no spreadsheet takes for a formula: text that begins
// as one gets an apostrophe before it (OWASP, CSV Injection); numbers stay.
func harmless(cell string) string {
	if cell == "" || !strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return cell
	}
	if _, err := strconv.ParseFloat(cell, 64); err == nil {
		return cell
	}
	return "'" + cell
}

func (p *Papers) stoneRows() [][]string {
	rows := [][]string{{"lot", "gem", "cut", "goods", "size_mm", "smallest_mm", "largest_mm", "deepest_mm", "needed", "spares", "ct_each", "ct_together", "specific_gravity", "source"}}
	for _, l := range p.Lots {
		rows = append(rows, []string{l.Group, l.Gem, l.Cut, l.Goods, fix(l.Size, 2), fix(l.Accepted[0], 2), fix(l.Accepted[1], 2), fix(l.Deepest, 2),
			fmt.Sprint(l.Needed), fmt.Sprint(l.Spares), fix(l.Carats, 4), fix(l.Together, 4), fix(l.Gravity, 2), l.Source})
	}
	return rows
}

func (p *Papers) castingRows() [][]string {
	head := []string{"file", "casting", "quantity", "hand", "x_mm", "y_mm", "z_mm", "bodies", "volume_mm3"}
	for _, a := range alloys(p.Piece.Alloy) {
		head = append(head, a+"_g")
	}
	rows := [][]string{append(head, "scale", "sha256")}
	for i, c := range p.Castings {
		row := []string{c.File, c.Name, fmt.Sprint(c.Quantity), c.Hand, fix(c.Box[0], 3), fix(c.Box[1], 3), fix(c.Box[2], 3), fmt.Sprint(c.Bodies), fix(c.Volume, 3)}
		for _, w := range c.Weights {
			row = append(row, fix(w.Grams, 3))
		}
		rows = append(rows, append(row, number(p.Piece.Scale), p.Models[i].SHA256))
	}
	return rows
}

func (p *Papers) findingRows() [][]string {
	rows := [][]string{{"kind", "what", "quantity", "wire_mm", "gauge", "inside_mm", "length_mm", "note"}}
	for _, f := range p.Findings {
		rows = append(rows, []string{f.Kind, f.What, fmt.Sprint(f.Quantity), mm(f.Wire), f.Gauge, mm(f.Inside), mm(f.Length), f.Note})
	}
	return rows
}

func fix(v float64, digits int) string { return fmt.Sprintf("%.*f", digits, v) }
