package bench

import (
	"encoding/json"
	"net/http"
	"os"
	"strings"
	"testing"
)

// TestSave rewrites literals and nothing else, and keeps the mode of the file.
func TestSave(t *testing.T) {
	s := serveFile(t, disc)
	s.post("/api/dials", map[string]any{"seq": 1, "values": map[string]any{"wide": 7.5, "gem": "amethyst"}}, http.StatusAccepted)
	now := s.until("7.5 mm", func(now state) bool { return now.Model != nil && now.Model.Seq == 1 })
	var saved state
	answer := s.post("/api/save", map[string]any{"revision": now.Revision, "values": map[string]any{"wide": 7.5, "gem": "amethyst"}}, http.StatusOK)
	if err := json.Unmarshal(answer, &saved); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(s.file)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.Replace(strings.Replace(disc, "value = 6 ", "value = 7.5 ", 1), `value   = "citrine"`, `value   = "amethyst"`, 1)
	if string(got) != want {
		t.Errorf("saved:\n%s", got)
	}
	if info, err := os.Stat(s.file); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("mode %v, %v", info.Mode(), err)
	}
	if saved.Revision != revisionOf(got) {
		t.Errorf("revision %s, not %s", saved.Revision, revisionOf(got))
	}
	after := s.until("the saved piece", func(now state) bool { return now.Dials[0].Saved == 7.5 && now.Ghost == now.Model.ID })
	if after.Dials[0].Value != 7.5 || after.Dials[1].Saved != "amethyst" {
		t.Errorf("dials: %+v", after.Dials)
	}
}

// TestSaveRefuses leaves the file alone where it was changed elsewhere, where
// the recipe could not be made, and where there is no such dial.
func TestSaveRefuses(t *testing.T) {
	s := serveFile(t, disc)
	now := s.until("the piece", func(now state) bool { return now.Model != nil })
	ask := func(revision string, values map[string]any, want int) refusal {
		t.Helper()
		var no refusal
		if err := json.Unmarshal(s.post("/api/save", map[string]any{"revision": revision, "values": values}, want), &no); err != nil {
			t.Fatal(err)
		}
		return no
	}
	if no := ask(now.Revision, map[string]any{"wide": 99}, http.StatusUnprocessableEntity); len(no.Faults) != 1 || no.Faults[0].Line != 7 {
		t.Errorf("out of range: %+v", no)
	}
	if no := ask(now.Revision, map[string]any{"depth": 1, "wide": []int{1}}, http.StatusUnprocessableEntity); len(no.Faults) != 2 {
		t.Errorf("no such dial, no such value: %+v", no)
	}
	if got, _ := os.ReadFile(s.file); string(got) != disc {
		t.Errorf("it was saved all the same:\n%s", got)
	}
	other := strings.Replace(disc, "1.2\n", "1.3\n", 1)
	if err := os.WriteFile(s.file, []byte(other), 0o640); err != nil {
		t.Fatal(err)
	}
	if no := ask(now.Revision, map[string]any{"wide": 7}, http.StatusConflict); no.Revision != revisionOf([]byte(other)) {
		t.Errorf("changed elsewhere: %+v", no)
	}
	if got, _ := os.ReadFile(s.file); string(got) != other {
		t.Errorf("somebody's change is gone:\n%s", got)
	}
	s.post("/api/reload", nil, http.StatusOK)
	ask(revisionOf([]byte(other)), map[string]any{"wide": 7}, http.StatusOK)
	if got, _ := os.ReadFile(s.file); string(got) != strings.Replace(other, "value = 6 ", "value = 7 ", 1) {
		t.Errorf("after reading again:\n%s", got)
	}
}
