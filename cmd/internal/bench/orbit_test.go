package bench

import (
	"fmt"
	"os"
	"path/filepath"
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
	file := filepath.Join(b.TempDir(), "field.hcl")
	if err := os.WriteFile(file, []byte(field(25, 40)), 0o640); err != nil {
		b.Fatal(err)
	}
	v := visit(b, file)
	for start := time.Now(); ; time.Sleep(time.Second) { // judged: the server no longer works
		if said := v.text("work"); strings.HasPrefix(said, "exact") {
			b.ReportMetric(time.Since(start).Seconds(), "s-to-exact")
			break
		}
	}
	v.focus("#canvas")
	for b.Loop() {
		said := ask[[]float64](v, `new Promise(done => {
			const canvas = document.getElementById("canvas");
			const full = canvas.width;
			let frames = 0, least = full;
			const start = performance.now();
			const turn = () => {
				const now = performance.now() - start;
				if (now > 5000) return done([frames / now * 1000, least / full]);
				canvas.dispatchEvent(new KeyboardEvent("keydown", {key: "ArrowLeft", bubbles: true}));
				requestAnimationFrame(() => { frames++; least = Math.min(least, canvas.width); turn() });
			};
			turn();
		})`)
		b.ReportMetric(said[0], "frames/s")
		b.ReportMetric(said[1], "resolution")
	}
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
