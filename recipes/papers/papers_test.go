package papers

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"waxwright/recipes/piece"
	"waxwright/solids/stock"
)

func TestSameBytes(t *testing.T) {
	o := Options{Date: "2026-11-25", Pixels: 64, Workers: 1}
	p, err := Gather(context.Background(), gardenSource(), o)
	if err != nil {
		t.Fatal(err)
	}
	art, err := Draw(context.Background(), gardenSource(), o)
	if err != nil {
		t.Fatal(err)
	}
	a, b := files(t, Options{}), rendered(t, p, art, o)
	if len(a) != 6 {
		t.Errorf("%d files", len(a))
	}
	for name := range a {
		if !bytes.Equal(a[name], b[name]) {
			t.Errorf("%s differs", name)
		}
	}
}

// The weights that scales show, worked by hand from published densities:
// sterling silver 10.36 (ESPI), citrine 2.65, one carat 0.2 g.
func TestWeights(t *testing.T) {
	p := gathered(t)
	volume := 0.0
	for _, c := range p.Castings {
		volume += c.Volume * float64(c.Quantity)
		if want := 10.36e-3 * c.Volume; math.Abs(c.Weights[0].Grams-want) > 1e-9 {
			t.Errorf("%s: %.4f g of silver, want %.4f", c.Name, c.Weights[0].Grams, want)
		}
		if want := 13.07e-3 * c.Volume; math.Abs(c.Weights[1].Grams-want) > 1e-9 || c.Weights[1].Alloy != "gold-14-yellow" {
			t.Errorf("%s: %v, want %.4f g of 14 ct yellow gold", c.Name, c.Weights[1], want)
		}
	}
	if want := 10.36e-3 * volume; math.Abs(p.Weights.Cast-want) > 1e-9 {
		t.Errorf("%.4f g as cast, want %.4f", p.Weights.Cast, want)
	}
	// A round coloured stone of 3 mm, 70 % deep: the trade's formula size^2 *
	// depth * SG * 0.0018 gives 0.0902 ct; the facets' own volume is within 8 %.
	l := p.Lots[0]
	if want := 3 * 3 * 2.1 * 2.65 * 0.0018; math.Abs(l.Carats-want) > 0.08*want {
		t.Errorf("a citrine weighs %.4f ct, want about %.4f", l.Carats, want)
	}
	if l.Needed != 2 || l.Spares != 1 || math.Abs(l.Together-2*l.Carats) > 1e-12 {
		t.Errorf("lot %+v", l)
	}
	if want := l.Together * 0.2; math.Abs(p.Weights.Stones-want) > 1e-12 {
		t.Errorf("stones weigh %.4f g, want %.4f", p.Weights.Stones, want)
	}
	if want := (p.Weights.Finished + p.Weights.Stones) / 2; math.Abs(p.Weights.Worn-want) > 1e-12 {
		t.Errorf("one ear weighs %.4f g, want %.4f", p.Weights.Worn, want)
	}
	if p.Weights.Finished >= p.Weights.Cast {
		t.Error("finishing takes nothing off")
	}
}

func TestCost(t *testing.T) {
	p := gathered(t)
	// by hand: metal with a tenth lost at 2, two stones at 3 and 4 to set, four
	// castings at 5, 20 to finish; half as much on top; a quarter of tax.
	sum := p.Weights.Cast*1.1*2 + 2*3 + 2*4 + 4*5 + 20
	const cent = 0.0101 // amounts are rounded to cents
	if c := p.Cost; math.Abs(c.Cost-sum) > cent || math.Abs(c.Price-1.5*sum) > 2*cent || math.Abs(c.Total-1.875*sum) > 3*cent {
		t.Errorf("%+v, want %.2f", c, sum)
	}
	printed := 0.0
	for _, l := range p.Cost.Lines {
		v, err := strconv.ParseFloat(money(l.Amount), 64)
		if err != nil {
			t.Fatal(err)
		}
		printed += v
	}
	if money(printed) != money(p.Cost.Cost) {
		t.Errorf("the lines add up to %.2f, the sheet says %.2f", printed, p.Cost.Cost)
	}
	bare, err := Gather(context.Background(), source(t, "piece \"bare\" {}\nplate \"a\" {\n  form = \"circle\"\n  across = 6\n  thickness = 1\n}\n"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if bare.Cost != nil {
		t.Error("prices were made up")
	}
}

func TestCaster(t *testing.T) {
	p := gathered(t)
	// 25.4 mm are an inch: a box of 25.4 mm reads 1 where mm are turned to
	// inches, 645 where inches are turned to mm.
	if got := misread([3]float64{10, 25.4, 3}); !strings.Contains(got, "1.00 mm or 645 mm") {
		t.Error(got)
	}
	hands := map[string]string{}
	for _, c := range p.Castings {
		hands[c.Name] = c.Hand
	}
	// The plate has an eye on its right side: the other ear needs its mirror
	// image. A ring is its own.
	if !strings.HasPrefix(hands["pod"], "handed") || !strings.HasPrefix(hands["pod-mirrored"], "a mirror image") || !strings.HasPrefix(hands["top"], "its own") {
		t.Errorf("hands %v", hands)
	}
	for _, a := range stock.AlloyNames() {
		names := alloys(a)
		if len(names) != 3 || names[0] != a || names[1] == a || names[2] == a || names[1] == names[2] {
			t.Errorf("for %s: %v", a, names)
		}
	}
}

func TestFindings(t *testing.T) {
	p := gathered(t)
	byWhat := map[string]Finding{}
	for _, f := range p.Findings {
		byWhat[f.What] = f
	}
	if f := byWhat["post ear"]; f.Gauge != "AWG 20" || f.Quantity != 2 || math.Abs(f.Wire-0.812) > 0.001 {
		t.Errorf("post %+v", f) // ASTM B258: AWG 20 is 0.0320 in
	}
	if f := byWhat["link top"]; math.Abs(f.Length-math.Pi*3.9) > 1e-9 || f.Inside != 3 {
		t.Errorf("link %+v", f)
	}
	if f := byWhat["close link top"]; f.Kind != "joint" || f.Quantity != 2 {
		t.Errorf("joint %+v", f)
	}
}

// A link is closed once all that hangs in it is there: what carries it, and the plates
// that it carries. Links are hung in when they are closed themselves.
func TestClosingNamesWhatHangs(t *testing.T) {
	src := `piece "drop" {}
plate "top" {
  form = "circle"
  across = 9
}
link "a" {
  hangs_from = plate.top
  wire = 1
  bore = 4
}
link "b" {
  hangs_from = link.a
  wire = 1
  bore = 4
}
plate "leaf" {
  form = "circle"
  across = 12
  hangs_from = link.b
}
`
	p, diags := piece.Read([]byte(src), "drop.hcl", nil)
	if p == nil {
		t.Fatal(diags)
	}
	notes := map[string]string{}
	for _, f := range findings(p, 1) {
		notes[f.What] = f.Note
	}
	if n := notes["close link a"]; n != "saw it open, hang it into plate top and solder it" {
		t.Error(n)
	}
	if n := notes["close link b"]; n != "saw it open, hang it into link a, hang plate leaf into it and solder it" {
		t.Error(n)
	}
}

// Every list is read back by a reader of its own, as many cells in every row,
// and sums are those of the sheet.
func TestLists(t *testing.T) {
	p := gathered(t)
	for name, data := range files(t, Options{}) {
		if !strings.HasSuffix(name, ".csv") {
			continue
		}
		rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte(byteOrderMark)))).ReadAll()
		if err != nil || len(rows) < 2 {
			t.Fatalf("%s: %d rows, %v", name, len(rows), err)
		}
		if strings.HasSuffix(name, "castings.csv") {
			sum := 0.0
			for _, r := range rows[1:] {
				n, _ := strconv.ParseFloat(r[2], 64)
				g, _ := strconv.ParseFloat(r[9], 64)
				sum += n * g
			}
			if rows[0][9] != "silver-925_g" || math.Abs(sum-p.Weights.Cast) > 0.005 {
				t.Errorf("castings of %.3f g, want %.3f", sum, p.Weights.Cast)
			}
		}
	}
}

func TestJSON(t *testing.T) {
	all := files(t, Options{})
	var p Papers
	if err := json.Unmarshal(all["seed-pod-papers.json"], &p); err != nil {
		t.Fatal(err)
	}
	if p.Schema != Schema || len(p.Models) != 4 || len(p.Files) != 5 {
		t.Errorf("%s, %d models, %d papers", p.Schema, len(p.Models), len(p.Files))
	}
	for _, f := range p.Files {
		if sum(all[f.Name]) != f.SHA256 {
			t.Errorf("%s has another fingerprint", f.Name)
		}
	}
}

func TestOrder(t *testing.T) {
	p := gathered(t)
	if len(p.Order) != 1 || p.Order[0].Group != "dew" {
		t.Errorf("%v", p.Order)
	}
	ring := source(t, `piece "ring" {}
stones "r" {
  layout = "ring"
  gem    = "citrine"
  size   = 2
  count  = 7
}
plate "a" {
  form      = "circle"
  across    = 12
  thickness = 1
}
prongs "c" {
  on    = plate.a
  holds = stones.r
  where = "around"
  wire  = 0.6
}
`)
	got := order(ring.Cast.Piece)
	seen := map[int]bool{}
	for i, o := range got {
		seen[o.N] = true
		if want := float64(o.N-1) * 360 / 7; math.Abs(o.Bearing-want) > 0.06 {
			t.Errorf("stone %d at %.2f, want %.2f", o.N, o.Bearing, want)
		}
		if i%2 == 1 { // after its opposite: at least 150 degrees away
			if d := math.Abs(o.Bearing - got[i-1].Bearing); math.Min(d, 360-d) < 150 {
				t.Errorf("stone %d after %d", o.N, got[i-1].N)
			}
		}
	}
	if len(got) != 7 || len(seen) != 7 {
		t.Errorf("order %v", got)
	}
}

// A bearing of b degrees on one ear is one of 360 - b on its mirror image: the
// setting sheet says so of a ring in a handed plate, and of no other.
func TestSecondEar(t *testing.T) {
	const ring = `piece "ring" {
  pair = "PAIR"
}
stones "r" {
  layout = "ring"
  gem    = "citrine"
  size   = 2
  count  = 7
  turn   = 10
}
plate "a" {
  form      = "circle"
  across    = 12
  thickness = 1
}
prongs "c" {
  on    = plate.a
  holds = stones.r
  where = "around"
  wire  = 0.6
}
`
	for pair, want := range map[string]string{
		"same":     "The same for the second ear.",
		"mirrored": "360° less those above (75° becomes 285°)",
		"single":   "",
	} {
		p, err := Gather(context.Background(), source(t, strings.Replace(ring, "PAIR", pair, 1)), Options{})
		if err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, b := range p.settingSheet(&Art{}).blocks {
			if b, ok := b.(para); ok && strings.Contains(b.text, "second ear") {
				said = b.text
			}
		}
		if !strings.Contains(said, want) || want == "" && said != "" {
			t.Errorf("%s: %q, want %q", pair, said, want)
		}
	}
	// The pod is handed by its eye; its one stone is given no bearing.
	if got := gathered(t).secondEar(); got != "The second ear mirrors the first." {
		t.Error(got)
	}
}

// What the maker accepts is shown, with the reason and how bad it is.
func TestAccepted(t *testing.T) {
	p, err := Gather(context.Background(), source(t, `piece "foil" {}
plate "a" {
  form      = "circle"
  across    = 20
  thickness = 0.4
}
accept "plate.a/wall" {
  why = "it is rolled, not cast"
}
`), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if p.Proof.Fails != 0 || len(p.Proof.Accepted) == 0 {
		t.Fatalf("%+v", p.Proof)
	}
	said := ""
	for _, b := range p.jobSheet(&Art{}).blocks {
		if list, ok := b.(items); ok {
			for _, it := range list.list {
				said += it.tag + " " + it.text + " " + strings.Join(it.notes, " ") + "\n"
			}
		}
	}
	if !strings.Contains(said, "accepted fail, plate.a: a finished wall of") || !strings.Contains(said, "Accepted by the maker: It is rolled, not cast.") {
		t.Error(said)
	}
}

// Of one sheet no file shows the prices, but of the sheet that is about them.
func TestPricesStayAtHome(t *testing.T) {
	for _, sheet := range SheetNames() {
		for name, data := range files(t, Options{Only: sheet}) {
			if strings.HasSuffix(name, ".pdf") {
				continue // packed; it is built of the same sheet as the page
			}
			if shows := bytes.Contains(data, []byte("mark-up")) || bytes.Contains(data, []byte("markUp")); shows != (sheet == costName) {
				t.Errorf("%s, asked for %s: prices shown: %t", name, sheet, shows)
			}
		}
	}
}

// Files that are scaled say so, measure more, and weigh what the casting will.
func TestScaled(t *testing.T) {
	const plate = `plate "a" {
  form      = "circle"
  across    = 8
  thickness = 1.5
}
`
	get := func(head string) *Papers {
		p, err := Gather(context.Background(), source(t, head+plate), Options{})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	bare := get("piece \"disc\" {}\n")
	scaled := get("piece \"disc\" {\n  scale {\n    print = 1.01\n    cast  = 1.02\n  }\n}\n")
	const k = 1.01 * 1.02
	a, b := bare.Castings[0], scaled.Castings[0]
	for i := range a.Box {
		if math.Abs(b.Box[i]-k*a.Box[i]) > 1e-9*a.Box[i] {
			t.Errorf("side %d is %.4f, want %.4f", i, b.Box[i], k*a.Box[i])
		}
	}
	if math.Abs(b.Weights[0].Grams-a.Weights[0].Grams) > 1e-6 || math.Abs(b.Volume-k*k*k*a.Volume) > 1e-4*a.Volume {
		t.Errorf("scaled %.6f g of %.3f mm3, want %.6f g", b.Weights[0].Grams, b.Volume, a.Weights[0].Grams)
	}
	if got := scaled.scaleText(); !strings.Contains(got, "already scaled by 1.030: do not scale again") {
		t.Error(got)
	}
	if got := bare.scaleText(); !strings.HasPrefix(got, "not scaled") {
		t.Error(got)
	}
}

// A piece that fails its proof says so first on what leads to metal.
func TestFailsOnTop(t *testing.T) {
	p, err := Gather(context.Background(), source(t, `piece "foil" {}
plate "a" {
  form      = "circle"
  across    = 20
  thickness = 0.4
}
`), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []sheet{p.jobSheet(&Art{}), p.casterSheet(&Art{})} {
		first, ok := s.blocks[0].(para)
		if !ok || !first.strong || !strings.Contains(first.text, "do not cast") {
			t.Errorf("%s begins with %v", s.name, s.blocks[0])
		}
	}
	for _, s := range []sheet{gathered(t).jobSheet(&Art{}), gathered(t).casterSheet(&Art{})} {
		if first, ok := s.blocks[0].(para); ok && first.strong && gathered(t).Proof.Fails == 0 {
			t.Errorf("%s begins with %q", s.name, first.text)
		}
	}
}
