package bench

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"waxwright/geom/cost"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
)

// examples are the shipped examples, each with what is turned and by how much:
// a dial, or, where there is none, a literal. The thickness of the plate is
// changed by less than anybody sees each time, so that no mesh is known.
var examples = []struct {
	name, address, word string
	by                  float64
	plate               string
}{
	{"marigold", "dial.petals", "value", 1, "plate.sun"},
	{"marigold", "dial.petal_size", "value", 0.05, "plate.sun"},
	{"leaf-drop", "plate.drop", "across", 0.1, "plate.drop"},
	{"stud", "dial.size", "value", 0.1, "plate.seat"},
}

// BenchmarkLive measures the time from the turn of a dial until the coarse
// model is packed and told: what the page then still has to do is to fetch and
// draw it.
func BenchmarkLive(b *testing.B) {
	for _, e := range examples {
		b.Run(e.name+"/"+e.address, func(b *testing.B) {
			file := filepath.Join("..", "..", "..", "examples", e.name, e.name+".hcl")
			src, from := literalOf(b, file, e.address, e.word)
			_, thick := literalOf(b, file, e.plate, "thickness")
			ear := listening(make(chan state, 64))
			ctx, stop := context.WithCancel(b.Context())
			d := newDesk(ctx, file, ear.tell)
			if _, err := d.load(); err != nil {
				b.Fatal(err)
			}
			worked := make(chan struct{})
			go func() { defer close(worked); d.run(ctx) }()
			defer func() { stop(); <-worked }()
			ear.until(func(s state) bool { return s.Model != nil })
			seq, worst, last := 0, time.Duration(0), state{}
			turn := func() {
				seq++
				text := strconv.FormatFloat(from+e.by*float64(seq%5), 'f', -1, 64)
				plate, err := lang.SetLiteral(src, e.plate, "thickness", strconv.FormatFloat(thick+float64(seq)/1e5, 'f', -1, 64))
				if err != nil {
					b.Fatal(err)
				}
				began := time.Now()
				next, err := lang.SetLiteral(plate, e.address, e.word, text)
				if err != nil {
					b.Fatal(err)
				}
				d.ask(func(o *order) { o.seq, o.src = seq, next })
				last = ear.until(func(s state) bool { return len(s.Faults) > 0 || s.Model.Seq == seq })
				if len(last.Faults) > 0 {
					b.Fatal(last.Faults)
				}
				worst = max(worst, time.Since(began))
			}
			for range 8 { // until the pace is found
				turn()
			}
			worst = 0
			before := cost.Start()
			for b.Loop() {
				turn()
			}
			before.Report(b)
			b.ReportMetric(float64(worst.Milliseconds()), "worst-ms")
			b.ReportMetric(float64(last.Model.Triangles), "triangles")
			b.ReportMetric(d.pace.size()*1000, "cell-um")
		})
	}
}

// literalOf reads a recipe and a number that is written in it.
func literalOf(b *testing.B, file, address, word string) ([]byte, float64) {
	src, err := os.ReadFile(file)
	if err != nil {
		b.Fatal(err)
	}
	f, diags := lang.Read(src, file, piece.Kinds(), lang.Options{})
	if f == nil {
		b.Fatal(diags)
	}
	for _, fact := range f.Facts(address) {
		if v, err := fact.Value.Number(); err == nil && fact.Word == word {
			return src, v
		}
	}
	b.Fatalf("%s: %s has no number %s", file, address, word)
	return nil, 0
}

// listening hears states.
type listening chan state

func (l listening) tell(event string, v any) {
	if event == "state" {
		l <- v.(state)
	}
}

// until waits for a state.
func (l listening) until(ok func(state) bool) state {
	for s := range l {
		if ok(s) {
			return s
		}
	}
	return state{}
}

// BenchmarkStop measures how long the thorough work on the marigold goes on
// once another order has come, at some forty moments of it.
func BenchmarkStop(b *testing.B) {
	file := filepath.Join("..", "..", "..", "examples", "marigold", "marigold.hcl")
	src, err := os.ReadFile(file)
	if err != nil {
		b.Fatal(err)
	}
	p, diags := piece.ReadFor(src, file, piece.Options{For: piece.Finished})
	if p == nil {
		b.Fatal(diags)
	}
	worst, sum, n := time.Duration(0), time.Duration(0), 0
	for b.Loop() {
		for moment := 25 * time.Millisecond; moment < 8*time.Second; moment = moment * 8 / 7 {
			d := newDesk(b.Context(), file, func(string, any) {})
			ctx, stop := context.WithCancel(b.Context())
			done := make(chan struct{})
			go func() { defer close(done); d.thorough(ctx, order{src: src, view: piece.Finished}, p) }()
			time.Sleep(moment)
			began := time.Now()
			stop()
			<-done
			took := time.Since(began)
			if took > 20*time.Millisecond {
				b.Logf("stopped at %v: %v", moment, took)
			}
			worst, sum, n = max(worst, took), sum+took, n+1
		}
	}
	b.ReportMetric(float64(worst.Microseconds())/1000, "worst-ms")
	b.ReportMetric(float64(sum.Microseconds())/1000/float64(n), "mean-ms")
}
