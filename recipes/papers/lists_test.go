package papers

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"waxwright/geom/mesh/meshtest"
)

// cell is a cell as a spreadsheet takes it.
type cell struct {
	Type    string
	Value   any
	Formula string
}

// opened opens CSV files with a spreadsheet library (SheetJS).
func opened(t *testing.T, files map[string][]byte) map[string][][]cell {
	t.Helper()
	dir := t.TempDir()
	var names, paths []string
	for name, data := range files {
		if !strings.HasSuffix(name, ".csv") {
			continue
		}
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		names, paths = append(names, name), append(paths, path)
	}
	var sheets [][][]cell
	if err := json.Unmarshal(meshtest.Node(t, "sheet.mjs", paths...), &sheets); err != nil {
		t.Fatal(err)
	}
	out := map[string][][]cell{}
	for i, name := range names {
		out[name] = sheets[i]
	}
	return out
}

// A spreadsheet opens every list: columns of numbers are numbers, no text is a
// formula, and as many stones and castings are in it as on the sheets.
func TestListsInSpreadsheet(t *testing.T) {
	p := gathered(t)
	sheets := opened(t, files(t, Options{}))
	if len(sheets) != len(lists) {
		t.Fatalf("%d lists of %d were opened", len(sheets), len(lists))
	}
	numbers := []string{"size_mm", "smallest_mm", "largest_mm", "deepest_mm", "needed", "spares", "ct_each", "ct_together",
		"specific_gravity", "quantity", "x_mm", "y_mm", "z_mm", "bodies", "volume_mm3", "silver-925_g", "scale", "wire_mm"}
	for name, rows := range sheets {
		for c, head := range rows[0] {
			column, _ := head.Value.(string)
			for r, row := range rows[1:] {
				if row[c].Formula != "" {
					t.Errorf("%s: %s of row %d is a formula: %s", name, column, r+1, row[c].Formula)
				}
				if slices.Contains(numbers, column) && row[c].Value != "" && row[c].Type != "n" {
					t.Errorf("%s: %s of row %d is no number but %q", name, column, r+1, row[c].Value)
				}
			}
		}
		rows = rows[1:]
		if strings.HasSuffix(name, "stone-order.csv") {
			if len(rows) != len(p.Lots) || rows[0][8].Value != float64(p.Lots[0].Needed) {
				t.Errorf("%d lots, the first of %v stones; %d lots of %d on the sheet", len(rows), rows[0][8].Value, len(p.Lots), p.Lots[0].Needed)
			}
		}
	}
}

// Text that looks like a formula stays text, with all its signs; numbers, below
// zero too, stay numbers.
func TestPlainCells(t *testing.T) {
	texts := []string{"=1+1", "+49 30", "-cmd", "@sum", "\t=2", "a, \"b\"", "grün & ☘", "two\nlines", "+", "-"}
	numbers := []string{"-0.25", "12", "+3", "1e3"}
	rows := [][]string{append(slices.Clone(texts), numbers...)}
	rows = append(rows, rows[0])
	var b bytes.Buffer
	if err := writeCSV(&b, rows); err != nil {
		t.Fatal(err)
	}
	for _, row := range opened(t, map[string][]byte{"a.csv": b.Bytes()})["a.csv"] {
		for i, want := range texts {
			got, ok := row[i].Value.(string)
			if !ok || row[i].Formula != "" || strings.TrimPrefix(got, "'") != want {
				t.Errorf("%q is taken for %+v", want, row[i])
			}
		}
		for i, want := range numbers {
			n, err := strconv.ParseFloat(want, 64)
			if err != nil || row[len(texts)+i].Value != n {
				t.Errorf("%s is taken for %+v", want, row[len(texts)+i])
			}
		}
	}
}
