package bench

import (
	"bytes"
	"encoding/binary"
	"image/png"
	"mime"
	"net/http"
	"slices"
	"testing"

	"waxwright/geom/picture"
	"waxwright/geom/stl"
	"waxwright/geom/threemf"
)

// TestDownloads gets all files of the piece as its dials stand, while it is still
// made, and reads them.
func TestDownloads(t *testing.T) {
	s := serveFile(t, disc)
	s.post("/api/dials", map[string]any{"seq": 1, "values": map[string]any{"wide": 8}}, http.StatusAccepted)
	code, h, data := s.do(s.request(http.MethodGet, "/download/disc.3mf", nil))
	if code != http.StatusOK {
		t.Fatalf("3MF: %d: %s", code, data)
	}
	kind, with, err := mime.ParseMediaType(h.Get("Content-Disposition"))
	if err != nil || kind != "attachment" || with["filename"] != "disc.3mf" {
		t.Errorf("disposition %q", h.Get("Content-Disposition"))
	}
	m, err := threemf.Read(bytes.NewReader(data), int64(len(data)), threemf.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if size := m.Objects[0].Mesh.Bounds().Size(); size.X < 8 || size.X > 8.2 {
		t.Errorf("the disc of 8 mm is %g mm wide", size.X)
	}
	now := s.idle(1)
	if len(now.Files) != 4 {
		t.Errorf("downloads: %+v", now.Files)
	}
	for _, f := range now.Files {
		data := s.get("/download/" + f.Name)
		switch f.Name {
		case "disc-round.stl":
			if _, err := stl.Read(bytes.NewReader(data), int64(len(data)), stl.Limits{}); err != nil {
				t.Error(err)
			}
		case "disc-papers.pdf":
			if !bytes.HasPrefix(data, []byte("%PDF-")) {
				t.Errorf("papers: % x", data[:8])
			}
		case "disc.png":
			if img, err := png.Decode(bytes.NewReader(data)); err != nil || img.Bounds().Dx() != 1200 {
				t.Errorf("picture: %v", err)
			}
		case "disc.3mf":
		default:
			t.Errorf("a download %s", f.Name)
		}
	}
	for _, name := range []string{"other.stl", "disc.hcl", "..%2fdisc.hcl", "%2e%2e/disc.hcl", ""} {
		if code, _, _ := s.do(s.request(http.MethodGet, "/download/"+name, nil)); code != http.StatusNotFound {
			t.Errorf("/download/%s: %d", name, code)
		}
	}
	s.post("/api/dials", map[string]any{"seq": 2, "values": map[string]any{"wide": 99}}, http.StatusAccepted)
	if code, _, data := s.do(s.request(http.MethodGet, "/download/disc.3mf", nil)); code != http.StatusConflict {
		t.Errorf("of a faulty recipe: %d: %s", code, data)
	}
}

// TestWalls measures the walls of the model that is shown: at the face of a disc
// of 1.2 mm they are 1.2 mm and what is added for the finish, twice of the 0.6 and
// more that the house asks of a small plate, give or take what a mesh is off by.
func TestWalls(t *testing.T) {
	s := serveFile(t, disc)
	s.post("/api/view", map[string]any{"state": "to-set"}, http.StatusAccepted)
	now := s.until("the proof", func(now state) bool { return now.Busy == "" && now.Model.State == "to-set" })
	s.do(s.request(http.MethodGet, "/api/walls/"+now.Model.ID, nil))
	now = s.until("the walls", func(now state) bool { return now.Model.Walls })
	var head wallsHead
	data := open(t, "WXW1", s.get("/api/walls/"+now.Model.ID), &head)
	o := openModel(t, s.get("/api/model/"+now.Model.ID))
	m := o.mesh(o.head.Castings[0])
	// finer triangles than the model's, whose vertices come first
	if head.ID != now.Model.ID || head.Castings[0].Shares.Count < len(m.V) || head.Castings[0].Positions.Count != head.Castings[0].Shares.Count {
		t.Fatalf("header: %+v", head)
	}
	scale := picture.WallScale(1) // that of pictures, too
	if len(head.Scale) != len(scale) {
		t.Fatalf("scale: %+v", head.Scale)
	}
	for i, s := range scale {
		if want := (wallStop{s.At, [3]uint8{s.Color.R, s.Color.G, s.Color.B}}); head.Scale[i] != want {
			t.Errorf("stop %d of the scale is %+v, not %+v", i, head.Scale[i], want)
		}
	}
	faces := 0 // places on the faces of the disc, away from all that has a limit of its own
	for i := range head.Castings[0].Shares.Count {
		w := binary.LittleEndian.Uint16(data[head.Castings[0].Shares.At+2*i:])
		if w != 65535 && w > 3000 {
			t.Fatalf("vertex %d: %d thousandths", i, w)
		}
		if w > 1200*10/6 && w < 1350*10/6 {
			faces++
		}
	}
	if faces < 100 {
		t.Errorf("%d walls as thick as the disc", faces)
	}
	if want := []string{"plate 0.60", "bail 0.80", "bezel 0.35", "bearing 0.20"}; !slices.Equal(head.Limits, want) {
		t.Errorf("limits %q, want %q", head.Limits, want)
	}
	s.post("/api/view", map[string]any{"state": "set"}, http.StatusAccepted)
	s.idle(0)
	if code, _, _ := s.do(s.request(http.MethodGet, "/api/walls/none", nil)); code != http.StatusNotFound {
		t.Errorf("walls of nothing: %d", code)
	}
}
