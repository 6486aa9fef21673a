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
// that draws with the processor alone, and reports how many frames a second it
// draws, how large the model is on the wire, and how coarse the drawing got.
func BenchmarkOrbit(b *testing.B) {
	file := recipeFile(b, "field.hcl", field(25, 40))
	began := time.Now()
	v := visit(b, file)
	v.until("a picture", `document.getElementById("blank").hidden`)
	b.ReportMetric(time.Since(began).Seconds(), "s-to-picture")
	v.quiet(time.Minute)
	b.ReportMetric(time.Since(began).Seconds(), "s-waited")
	v.focus("#canvas")
	for b.Loop() {
		rate, share := v.orbit(5 * time.Second)
		b.ReportMetric(rate, "frames/s")
		b.ReportMetric(share, "resolution")
	}
	v.click("#stones")
	bare, _ := v.orbit(5 * time.Second)
	b.ReportMetric(bare, "bare-frames/s")
	size := ask[[]float64](v, `fetch("/api/model/" + document.getElementById("frame").dataset.model).then(async r => {
		const b = await r.arrayBuffer();
		const head = JSON.parse(new TextDecoder().decode(new Uint8Array(b, 8, new DataView(b).getUint32(4, true))));
		const sent = performance.getEntriesByType("resource").filter(e => e.name.includes("/api/model/")).map(e => e.encodedBodySize);
		return [b.byteLength, Math.max(...sent), head.castings.reduce((n, c) => n + c.indices.count, 0), head.stones.reduce((n, s) => n + s.matrices.count, 0)];
	})`)
	b.ReportMetric(size[0]/1e6, "MB")
	b.ReportMetric(size[1]/1e6, "wire-MB")
	b.ReportMetric(size[2], "triangles")
	b.ReportMetric(size[3], "stones")
}

// quiet waits until the server no longer works, for a while at most: what is
// drawn meanwhile shares the processors with it.
func (v *visitor) quiet(most time.Duration) {
	v.Helper()
	for end := time.Now().Add(most); time.Now().Before(end); time.Sleep(time.Second) {
		if strings.HasPrefix(v.text("work"), "exact") {
			return
		}
	}
	v.Logf("after %v the server still works: %s", most, v.text("work"))
}

// orbit turns the piece by keys for a while. It returns how many frames a second
// were drawn, and the coarsest of them as a share of full resolution.
func (v *visitor) orbit(span time.Duration) (rate, share float64) {
	v.Helper()
	said := ask[[]float64](v, fmt.Sprintf(`new Promise(done => {
		const canvas = document.getElementById("canvas");
		const full = canvas.width;
		let frames = 0, least = full;
		const start = performance.now();
		const turn = () => {
			const now = performance.now() - start;
			if (now > %d) return done([frames / now * 1000, least / full]);
			canvas.dispatchEvent(new KeyboardEvent("keydown", {key: "ArrowLeft", bubbles: true}));
			requestAnimationFrame(() => { frames++; least = Math.min(least, canvas.width); turn() });
		};
		turn();
	})`, span.Milliseconds()))
	return said[0], said[1]
}
