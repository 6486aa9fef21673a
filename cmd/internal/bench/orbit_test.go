package bench

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// field is a recipe of a plate with so many rows of so many small stones, each
// in a bezel.
func field(rows, columns int) string {
	const pitch = 2.2 // mm
	var s strings.Builder
	fmt.Fprintf(&s, "piece \"field\" {\n  finish = \"as-cast\"\n}\nplate \"field\" {\n  form      = \"cushion\"\n  across    = %.1f\n  height    = %.1f\n  corner    = 1\n  thickness = 1.6\n}\n",
		pitch*float64(columns)+4, pitch*float64(rows)+4)
	for r := range rows {
		fmt.Fprintf(&s, "stones \"row%d\" {\n  layout = \"points\"\n  gem    = \"garnet-rhodolite\"\n  size   = 1.3\n  on     = plate.field\n  points = [", r)
		for c := range columns {
			fmt.Fprintf(&s, "%.2f, %.2f, ", pitch*(float64(c)-float64(columns-1)/2), pitch*(float64(r)-float64(rows-1)/2))
		}
		fmt.Fprintf(&s, "]\n}\nbezel \"row%d\" {\n  on    = plate.field\n  holds = stones.row%d\n}\n", r, r)
	}
	return s.String()
}

// BenchmarkOrbit turns a field of 1,000 small stones by keys, in a real browser
// that draws with the processor alone, and reports how many frames a second are
// really drawn, of how many triangles, and how coarse they get. Once the exact
// model is shown the server is ended, so that the processors are the browser's.
func BenchmarkOrbit(b *testing.B) {
	v := visit(b, recipeFile(b, "field.hcl", field(25, 40)))
	began := time.Now()
	v.until("a picture", `document.getElementById("blank").hidden`)
	picture := time.Since(began)
	v.exact(3 * time.Minute)
	exact := time.Since(began)
	size := ask[[]float64](v, `fetch("/api/model/" + document.getElementById("frame").dataset.model).then(async r => {
		const b = await r.arrayBuffer();
		const head = JSON.parse(new TextDecoder().decode(new Uint8Array(b, 8, new DataView(b).getUint32(4, true))));
		const sent = performance.getEntriesByType("resource").filter(e => e.name.includes("/api/model/")).map(e => e.encodedBodySize);
		return [b.byteLength, Math.max(...sent), head.stones.reduce((n, s) => n + s.matrices.count, 0)];
	})`)
	v.leave()

	v.focus("#canvas")
	v.orbit(time.Second) // learns what is slow
	v.still()
	rest := v.drawing()
	began = time.Now()
	for time.Since(began) < 20*time.Second && v.drawing().Triangles > rest.Triangles/2 {
		v.orbit(500 * time.Millisecond) // until there are stand-ins
	}
	light := time.Since(began)
	v.shot("orbit-rest")
	var rate, share float64
	for b.Loop() {
		rate, share = v.orbit(5 * time.Second)
	}
	moving := v.drawing()
	v.shot("orbit-moving")
	began = time.Now()
	v.still()
	rested := time.Since(began)
	v.click("#stones")
	v.still()
	bare, _ := v.orbit(5 * time.Second)

	b.ReportMetric(picture.Seconds(), "s-to-picture")
	b.ReportMetric(exact.Seconds(), "s-to-exact")
	b.ReportMetric(size[0]/1e6, "MB")
	b.ReportMetric(size[1]/1e6, "wire-MB")
	b.ReportMetric(size[2], "stones")
	b.ReportMetric(rate, "frames/s")
	b.ReportMetric(share, "resolution")
	b.ReportMetric(float64(moving.Triangles), "triangles/frame")
	b.ReportMetric(float64(rest.Triangles), "triangles/rest")
	b.ReportMetric(rested.Seconds(), "s-to-rest")
	b.ReportMetric(light.Seconds(), "s-to-stand-ins")
	b.ReportMetric(bare, "bare-frames/s")
}

// leave ends the server; the page keeps what it shows.
func (v *visitor) leave() {
	v.stop()
	v.stop = func() {}
}

// exact waits until the exact model is shown, for a while at most.
func (v *visitor) exact(most time.Duration) {
	v.Helper()
	for end := time.Now().Add(most); time.Now().Before(end); time.Sleep(time.Second) {
		if work := v.text("work"); strings.HasPrefix(work, "exact") || strings.HasPrefix(work, "judging") {
			return
		}
	}
	v.Logf("after %v the model is not exact: %s", most, v.text("work"))
}

// still waits until no frame is drawn any more, and the last is not a light one.
func (v *visitor) still() {
	v.Helper()
	v.until("rest", `new Promise(done => {
		const {dataset} = document.getElementById("frame"), {drawn} = dataset;
		setTimeout(() => done(dataset.manner !== "light" && dataset.drawn === drawn), 120);
	})`)
}

// orbit turns the piece by keys for a while. It returns how many frames a second
// were drawn, and the coarsest of them as pixels a side for one of the canvas.
func (v *visitor) orbit(span time.Duration) (rate, share float64) {
	v.Helper()
	said := ask[[]float64](v, fmt.Sprintf(`new Promise(done => {
		const canvas = document.getElementById("canvas"), {dataset} = document.getElementById("frame");
		const start = performance.now(), first = +dataset.drawn;
		let least = 1;
		const turn = () => {
			const now = performance.now() - start;
			least = Math.min(least, +dataset.share);
			if (now > %d) return done([(+dataset.drawn - first) / now * 1000, least]);
			canvas.dispatchEvent(new KeyboardEvent("keydown", {key: "ArrowLeft", bubbles: true}));
			requestAnimationFrame(turn);
		};
		turn();
	})`, span.Milliseconds()))
	return said[0], said[1]
}
