package stone

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"waxwright/geom/mesh/meshtest"
	"waxwright/geom/sdf/sdftest"
	"waxwright/geom/vec"
	"waxwright/solids/stock"
)

const (
	gia       = `Reinitz, Geurts, Gilbertson (GIA), "Weight Ratio within the GIA Diamond Cut Grading System"`
	tolkowsky = "niceice.com and folds.net, M. Tolkowsky, Diamond Design (1919)"
	formula   = "a1-diamond.com, formula for calculating the weight; Esslinger blog 2014; gemgate.com"
	rock      = "rock2polish.com round size chart"
	eastint   = "eastint.com size and weight chart for faceted stones"
	computed  = "57-facet solid built from the published proportions"
)

func degrees(d float64) float64 { return d * math.Pi / 180 }

// Published proportions beside Reference.
var (
	ideal = Proportions{0.53, degrees(34.5), degrees(40.75), 0, 0.50, 0.80}   // Tolkowsky, knife edge
	thick = Proportions{0.57, degrees(34.5), degrees(40.8), 0.03, 0.50, 0.80} // 04-032
)

func brilliant(t *testing.T, size float64, p Proportions) Brilliant {
	t.Helper()
	b, err := NewBrilliant(size, p)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func gem(name string) stock.Gem {
	g, ok := stock.GemNamed(name)
	if !ok {
		panic(name)
	}
	return g
}

func TestPublishedProportions(t *testing.T) {
	one, knife, other := brilliant(t, 1, Reference), brilliant(t, 1, ideal), brilliant(t, 1, thick)
	diamond := gem("diamond")
	carats := func(size float64, p Proportions) float64 { return diamond.Carats(brilliant(t, size, p).Volume()) }
	cones := func(b Brilliant) float64 { // two cones and a cylinder
		R, r := b.Size/2, b.TableSize()/2
		return frustum(R, r, b.CrownHeight()) + math.Pi*R*R*b.GirdleTop() + frustum(R, 0, b.Deep())
	}
	for _, f := range []struct {
		id, what          string
		got, want, within float64
		source            string
	}{
		{"04-004", "Tolkowsky crown height", knife.CrownHeight(), 0.162, 0.001, tolkowsky},
		{"04-005", "Tolkowsky pavilion depth", knife.Deep(), 0.431, 0.0005, tolkowsky},
		{"04-006", "Tolkowsky depth", ideal.Depth(), 0.593, 0.001, tolkowsky},
		{"04-013", "GIA depth", Reference.Depth(), 0.600, 0.0005, gia},
		{"04-014", "GIA crown height", one.CrownHeight(), 0.145, 0.0005, gia},
		{"04-015", "GIA pavilion depth", one.Deep(), 0.430, 0.0005, gia},
		{"04-029", "pavilion depth as the trade wants it", one.Deep(), 0.430, 0.0005, "diamondcuttersintl.com classes of cut"},
		{"04-031", "volume by size cubed", one.Volume(), 0.2041, 5e-5, computed},
		{"04-031", "6.5 mm of the reference", carats(6.5, Reference), 0.986, 5e-4, computed},
		{"04-032", "volume by size cubed, 57/34.5/40.8", other.Volume(), 0.2098, 5e-5, computed},
		{"04-032", "6.5 mm of it", carats(6.5, thick), 1.014, 5e-4, computed},
		{"04-032", "its coefficient", diamond.Carats(other.Volume()) / thick.Depth(), 0.00606, 5e-6, computed},
		{"04-033", "volume by size cubed, knife edge", knife.Volume(), 0.1895, 5e-5, computed},
		{"04-033", "its coefficient", diamond.Carats(knife.Volume()) / ideal.Depth(), 0.00563, 5e-6, computed},
		{"04-034", "facets by two cones", one.Volume() / cones(one), 1.000, 0.001, computed},
		{"04-034", "facets by two cones, knife edge", knife.Volume() / cones(knife), 1.000, 0.001, computed},
		{"04-035", "coefficient of the weight formula", diamond.Carats(one.Volume()) / Reference.Depth(), 0.0061, 0.0061 * 0.02, formula},
		{"04-136", "6.5 mm diamond", carats(6.5, thick), 1.00, 0.02, "International Gem Society, standard gem sizes chart"},
		{"05-047", "gallery under a 6.5 mm stone", brilliant(t, 6.5, Reference).Deep() + 0.5, 0.43*6.5 + 0.5, 0.005, "Stuller, best practices booklet"},
		{"05-012", "included pavilion angle", 180 - 2*thick.Pavilion*180/math.Pi, 98.4, 0.05, `Stuller, "Round settings" bench article`},
		{"09-027", "frustum of a crown", frustum(3.25, 1.8525, 0.9425), 19.754361, 5e-7, "computed from the formula"},
	} {
		if !(math.Abs(f.got-f.want) <= f.within) {
			t.Errorf("%s %s: got %.6g, published %.6g, may differ by %g (%s)", f.id, f.what, f.got, f.want, f.within, f.source)
		}
	}
}

func frustum(R, r, h float64) float64 { return math.Pi * h * (R*R + R*r + r*r) / 3 }

// TestTradeWeights holds charts of the trade, which round up and differ among
// themselves by 15 %.
func TestTradeWeights(t *testing.T) {
	check := func(id string, size, got, want, share float64, source string) {
		if math.Abs(got-want) > share*want {
			t.Errorf("%s %g mm: %.4f ct, published %g, may differ by %g %% (%s)", id, size, got, want, 100*share, source)
		}
	}
	diamond := gem("diamond")
	for i, row := range [][2]float64{ // 04-070 to 04-092
		{1.75, 0.02}, {2, 0.03}, {2.5, 0.06}, {2.75, 0.08}, {3, 0.10}, {3.25, 0.14}, {3.5, 0.17}, {3.75, 0.21}, {4, 0.25}, {4.25, 0.28},
		{4.5, 0.36}, {4.75, 0.44}, {5, 0.50}, {5.25, 0.56}, {5.5, 0.66}, {5.75, 0.75}, {6, 0.84}, {6.25, 0.93}, {6.5, 1}, {7, 1.3},
		{7.5, 1.67}, {7.75, 1.75}, {8, 2},
	} {
		b := brilliant(t, row[0], Reference)
		check(fmt.Sprintf("04-%03d", 70+i), row[0], diamond.Carats(b.Volume()), row[1], 0.15, rock)
		// 04-035, from size and depth
		check("04-035", row[0], diamond.Carats(b.Volume()), row[0]*row[0]*(b.Top()+b.Deep())*0.0061, 0.02, formula)
	}
	deep, err := Reference.Deepened(stock.Coloured.Depth())
	if err != nil {
		t.Fatal(err)
	}
	sapphire, emerald := gem("sapphire"), gem("emerald")
	for i, row := range [][3]float64{ // 04-145 to 04-151
		{2, 0.04, 0.03}, {3, 0.15, 0.10}, {4, 0.34, 0.22}, {5, 0.66, 0.45}, {6, 1.09, 0.72}, {7, 1.64, 1.10}, {8, 2.50, 1.75},
	} {
		v := brilliant(t, row[0], deep).Volume()
		check(fmt.Sprintf("04-%03d sapphire", 145+i), row[0], sapphire.Carats(v), row[1], 0.16, eastint)
		check(fmt.Sprintf("04-%03d emerald", 145+i), row[0], emerald.Carats(v), row[2], 0.16, eastint)
		// 04-055, from size, depth and gravity
		check("04-055", row[0], sapphire.Carats(v), row[0]*row[0]*row[0]*0.70*4.00*0.0018, 0.08, "Dendritics; yourgemologist.com")
		// 04-063, cabochons: a half ellipsoid would have 0.0026
		c, err := NewCabochon(row[0], row[0]/2)
		if err != nil {
			t.Fatal(err)
		}
		check("04-063", row[0], sapphire.Carats(c.Volume()), row[0]*row[0]*row[0]/2*4.00*0.0027, 0.08, "Dendritics, standard gemstone formula")
	}
}

// usual draws proportions that GIA's cut estimator takes, 04-016 to 04-021,
// and knife edges.
func usual(t *rapid.T) Proportions {
	draw := func(what string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, what) }
	return Proportions{
		Table:    draw("table", 0.44, 0.72),
		Crown:    degrees(draw("crown", 20, 41.5)),
		Pavilion: degrees(draw("pavilion", 37.2, 43.8)),
		Star:     draw("star", 0.35, 0.75),
		Lower:    draw("lower", 0.60, 0.95),
		Girdle:   rapid.SampledFrom([]float64{0, 0.001, 0.015, 0.02, 0.03, 0.11}).Draw(t, "girdle"),
	}
}

// TestBrilliantIsConvexAndWhole: every corner lies on or inside every facet
// plane, the mesh is closed, and its volume is the closed form less what the
// flat bits of the girdle miss.
func TestBrilliantIsConvexAndWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, err := NewBrilliant(rapid.Float64Range(0.5, 20).Draw(t, "size"), usual(t))
		if err != nil {
			t.Fatal(err)
		}
		planes := b.Planes()
		if len(planes) != 57 {
			t.Fatalf("%d facets", len(planes))
		}
		m := b.Mesh()
		on := make([]int, len(planes)) // corners on each facet
		for _, p := range m.V {
			for i, h := range planes {
				d := h.Dist(p)
				if d > 1e-12*b.Size {
					t.Fatalf("corner %v lies %g mm outside of facet %d", p, d, i+1)
				}
				if d > -1e-12*b.Size {
					on[i]++
				}
			}
			if r := p.XY().Len(); r > b.Size/2+1e-12*b.Size {
				t.Fatalf("corner %v lies outside of the girdle", p)
			}
		}
		for i, n := range on {
			if n < 3 {
				t.Fatalf("facet %d has %d corners", i+1, n)
			}
		}
		if short := 1 - m.Volume()/b.Volume(); short < -1e-12 || short > 7.2e-4 { // a 96-gon lacks 7.14e-4 of its circle
			t.Fatalf("the mesh lacks %g of the volume", short)
		}
		if box := m.Bounds(); math.Abs(box.Max.Z-b.Top()) > 1e-12 || math.Abs(box.Min.Z+b.Deep()) > 1e-12 {
			t.Fatalf("mesh from %g to %g, stone from %g to %g", box.Min.Z, box.Max.Z, -b.Deep(), b.Top())
		}
	})
}

func TestMeshesConform(t *testing.T) {
	for name, p := range map[string]Proportions{"reference": Reference, "knife edge": ideal, "pinched": {0.57, degrees(34), degrees(40.7), 0.01, 0.5, 0.8}} {
		t.Run(name, func(t *testing.T) {
			b := brilliant(t, 6.5, p)
			meshtest.Conform(t, b.Mesh(), meshtest.Want{Bodies: 1, Volume: b.Volume(), Genus: meshtest.Genus(0), Tol: 2e-4})
		})
	}
	for _, share := range []float64{0.1, 0.35, 0.5, 0.9} {
		t.Run(fmt.Sprintf("cabochon %g", share), func(t *testing.T) {
			c, err := NewCabochon(8, 8*share)
			if err != nil {
				t.Fatal(err)
			}
			meshtest.Conform(t, c.Mesh(), meshtest.Want{Bodies: 1, Volume: c.Volume(), Genus: meshtest.Genus(0), Tol: 4e-3})
		})
	}
}

func TestFieldsConform(t *testing.T) {
	for _, name := range Names() {
		c, err := New(name, 4, 0)
		if err != nil {
			t.Fatal(err)
		}
		sdftest.Conform(t, name, c.Solid())
		sdftest.Conform(t, name+" seat", c.Seat(0.05))
	}
}

// TestSolidAndMeshAreOne: every corner of the mesh lies on the solid, and the
// seat holds it with the clearance, the base of a cabochon apart.
func TestSolidAndMeshAreOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.Float64Range(0.5, 20).Draw(t, "size")
		clearance := rapid.SampledFrom([]float64{0, 0.02, 0.3}).Draw(t, "clearance")
		var c Cut
		var err error
		if rapid.Bool().Draw(t, "faceted") {
			c, err = NewBrilliant(size, usual(t))
		} else {
			c, err = NewCabochon(size, size*rapid.Float64Range(0.02, 1).Draw(t, "height"))
		}
		if err != nil {
			t.Fatal(err)
		}
		solid, seat := c.Solid(), c.Seat(clearance)
		for _, p := range c.Mesh().V {
			if d := solid.Dist(p); math.Abs(d) > 1e-9 {
				t.Fatalf("corner %v lies %g mm off the solid", p, d)
			}
			free := clearance
			if c.Deep() == 0 { // it rests on its base
				free = min(clearance, p.Z)
			}
			if d := seat.Dist(p); d > 1e-9-free {
				t.Fatalf("corner %v has %g mm of room, want %g", p, -d, free)
			}
		}
		box := seat.Bounds()
		if w := size/2 + clearance; math.Abs(box.Max.X-w) > 1e-9 || math.Abs(box.Max.Z-c.Top()-clearance) > 1e-9 {
			t.Fatalf("seat of %g mm with clearance %g reaches %g out and %g up", size, clearance, box.Max.X, box.Max.Z)
		}
		if g := c.Girdle(); math.Abs(g.Area()-math.Pi*size*size/4) > 1e-9*size*size {
			t.Fatalf("girdle of %g mm has %g mm2", size, g.Area())
		}
	})
}

func TestDeepened(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := usual(t)
		depth := rapid.Float64Range(0.3, 0.9).Draw(t, "depth")
		d, err := p.Deepened(depth)
		if err != nil || math.Abs(d.Depth()-depth) > 1e-12 {
			t.Fatalf("%g deep, want %g, %v", d.Depth(), depth, err)
		}
		if k := d.CrownHeight() / d.PavilionDepth(); math.Abs(k-p.CrownHeight()/p.PavilionDepth()) > 1e-12 {
			t.Fatalf("crown by pavilion %g", k)
		}
		if err := d.Check(); err != nil {
			t.Fatal(err)
		}
	})
	if b, err := New("round", 5, 0.7); err != nil || math.Abs(b.Top()+b.Deep()-3.5) > 1e-12 {
		t.Errorf("5 mm, 70 %% deep: %v, %v", b, err)
	}
}

func TestCabochon(t *testing.T) {
	// 09-025: the cap of a ball of radius 5, 2 mm high, on a base of radius 4
	c := Cabochon{Size: 8, Height: 2}
	if v := c.Volume(); math.Abs(v-54.454273) > 5e-7 {
		t.Errorf("09-025 cap: %.7f, published 54.454273 (constructionwork.com volume formulas)", v)
	}
	if h, ball := c.cap(); math.Abs(ball-5) > 1e-12 || h != 2 {
		t.Errorf("09-025 cap: ball %g, height %g", ball, h)
	}
	// 09-028: half a ball is 2/3 of its cylinder
	if v := (Cabochon{Size: 8, Height: 4}).Volume(); math.Abs(v-2.0/3*math.Pi*64) > 1e-9 {
		t.Errorf("09-028 half ball: %g", v)
	}
	high, err := NewCabochon(8, 6) // half a ball on a straight wall of 2 mm
	if err != nil || high.Land != 2 || math.Abs(high.Volume()-2.0/3*math.Pi*64-32*math.Pi) > 1e-9 {
		t.Errorf("high cabochon: %+v, %v", high, err)
	}
	// a dome is nowhere wider than its girdle
	if box := high.Solid().Bounds(); math.Abs(box.Max.X-4) > 1e-12 || math.Abs(box.Max.Z-6) > 1e-12 {
		t.Errorf("high cabochon fills %v", box)
	}
	if p := (vec.P{X: 3.9, Z: 2.1}); high.Solid().Dist(p) > 0 {
		t.Errorf("%v lies outside the shoulder", p)
	}
}

func TestSizeForCarats(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cut := rapid.SampledFrom(Names()).Draw(t, "cut")
		g := gem(rapid.SampledFrom(stock.GemNames()).Draw(t, "gem"))
		depth := rapid.SampledFrom([]float64{0, 0.45, 0.7}).Draw(t, "depth")
		ct := rapid.Float64Range(0.001, 30).Draw(t, "ct")
		size, err := SizeForCarats(cut, depth, g, ct)
		if err != nil {
			t.Fatal(err)
		}
		c, err := New(cut, size, depth)
		if err != nil || math.Abs(g.Carats(c.Volume())-ct) > 1e-9*ct {
			t.Fatalf("%g mm weighs %g ct, want %g, %v", size, g.Carats(c.Volume()), ct, err)
		}
	})
	if size, err := SizeForCarats("round", 0.60, gem("diamond"), 1); err != nil || math.Abs(size-6.5) > 0.05 { // 04-088
		t.Errorf("04-088 1 ct of diamond: %g mm, published 6.5 (%s), %v", size, rock, err)
	}
}

func TestWhatNobodyCuts(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		cut         string
		size, depth float64
	}{
		{"lozenge", 5, 0}, {"", 5, 0}, {"round", 0, 0}, {"round", -1, 0}, {"round", nan, 0}, {"round", inf, 0}, {"round", 1e300, 0}, {"round", 1e-300, 0},
		{"round", 5, 0.02}, {"round", 5, -0.6}, {"round", 5, nan}, {"round", 5, inf}, {"round", 5, 1e-320}, {"round", 5, 99},
		{"cabochon", 0, 0}, {"cabochon", nan, 0}, {"cabochon", 5, nan}, {"cabochon", 5, -1}, {"cabochon", 5, 1e-9}, {"cabochon", 5, inf},
	} {
		if s, err := New(c.cut, c.size, c.depth); err == nil || s != nil {
			t.Errorf("%+v: %v, %v, want an error", c, s, err)
		}
	}
	for _, change := range []func(*Proportions){
		func(p *Proportions) { p.Table = 1 },
		func(p *Proportions) { p.Table = nan },
		func(p *Proportions) { p.Crown = 0 },
		func(p *Proportions) { p.Pavilion = math.Pi / 2 },
		func(p *Proportions) { p.Girdle = -0.01 },
		func(p *Proportions) { p.Girdle = inf },
		func(p *Proportions) { p.Star = 0.1 }, // its tip would rise over the table
		func(p *Proportions) { p.Lower = 1 },
	} {
		p := Reference
		change(&p)
		if err := p.Check(); err == nil {
			t.Errorf("%+v: no error", p)
		}
		if _, err := NewBrilliant(5, p); err == nil {
			t.Errorf("a brilliant of %+v", p)
		}
	}
	for _, ct := range []float64{0, -1, nan, inf} {
		if s, err := SizeForCarats("round", 0, gem("diamond"), ct); err == nil {
			t.Errorf("%g ct: %g mm", ct, s)
		}
	}
	if _, err := SizeForCarats("round", 0, stock.Gem{Name: "nothing"}, 1); err == nil {
		t.Error("a gem without weight has a size")
	}
	// all that New lets through can be asked for everything
	for _, cut := range Names() {
		for _, size := range []float64{1e-3, 1e4} {
			for _, depth := range []float64{0, 0.06, 3} {
				s, err := New(cut, size, depth)
				if err != nil {
					t.Fatalf("%s %g %g: %v", cut, size, depth, err)
				}
				s.Girdle()
				s.Solid()
				s.Mesh()
				for _, clearance := range []float64{0, 0.05, 1} {
					s.Seat(clearance)
				}
			}
		}
	}
	if !slices.Equal(Names(), []string{"round", "cabochon"}) {
		t.Errorf("cuts: %v", Names())
	}
}
