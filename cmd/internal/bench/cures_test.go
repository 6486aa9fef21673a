package bench

import (
	"net/http"
	"strings"
	"testing"
)

// TestCures finds the dial that cures a remark, and the remark is gone once the
// dial is turned to where it says.
func TestCures(t *testing.T) {
	src := strings.Replace(disc, "bezel \"rim\" {", "dial \"rim\" {\n  value = 0.2\n  range = [0.2, 1]\n}\n\nbezel \"rim\" {\n  wall  = dial.rim", 1)
	s := serveFile(t, src)
	wall := func(now state) *remark {
		for i, r := range now.Remarks {
			if strings.HasPrefix(r.ID, "bezel.rim/") && r.Grade == "fail" {
				return &now.Remarks[i]
			}
		}
		return nil
	}
	now := s.until("a cure", func(now state) bool { r := wall(now); return r != nil && len(r.Cures) > 0 })
	r := wall(now)
	if r.Line == 0 || len(r.Places) == 0 || r.Text == "" || r.Limit == "" {
		t.Errorf("remark: %+v", r)
	}
	c := r.Cures[0]
	if v, ok := c.Value.(float64); c.Dial != "rim" || !ok || v <= 0.2 || c.Text == "" {
		t.Fatalf("cure: %+v", c)
	}
	s.post("/api/dials", map[string]any{"seq": 1, "values": map[string]any{c.Dial: c.Value}}, http.StatusAccepted)
	if r := wall(s.idle(1)); r != nil {
		t.Errorf("it is still there: %+v", r)
	}
}
