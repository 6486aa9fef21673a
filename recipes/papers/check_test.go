package papers

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"waxwright/recipes/build"
)

func TestCheck(t *testing.T) {
	dir := t.TempDir()
	put := func(name, text string) Fingerprint {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
		return Fingerprint{name, sum([]byte(text))}
	}
	p := Papers{Schema: Schema, Recipe: Fingerprint{"a.hcl", sum(nil)}, Models: []Fingerprint{put("a.stl", "solid"), put("b.stl", "liquid")}, Files: []Fingerprint{put("a.pdf", "sheet")}}
	put("b.stl", "Liquid")
	data, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	put("a.json", string(data))
	found, err := Check(build.OS{}, filepath.Join(dir, "a.json"), dir)
	if err != nil {
		t.Fatal(err)
	}
	want := []Found{{"a.hcl", "recipe", Missing}, {"a.stl", "model", Same}, {"b.stl", "model", Different}, {"a.pdf", "paper", Same}}
	if len(found) != len(want) {
		t.Fatalf("%v", found)
	}
	for i := range want {
		if found[i] != want[i] {
			t.Errorf("%v, want %v", found[i], want[i])
		}
	}
}

// Whatever the JSON, Check ends with an answer or an error, and looks at no file
// outside the folder.
func FuzzCheck(f *testing.F) {
	one := `{"schema":"` + Schema + `","recipe":{"name":"a","sha256":"b"},"models":[{"name":"%","sha256":"d"}],"papers":[{"name":"e","sha256":"f"}]}`
	f.Add([]byte(strings.Replace(one, "%", "c", 1)))
	f.Add([]byte(strings.Replace(one, "%", "../c", 1)))
	f.Add([]byte(strings.Replace(one, "%", "/etc/hosts", 1)))
	f.Add([]byte(`{"schema":"waxwright.papers.2"}`))
	f.Add([]byte(`[`))
	f.Fuzz(func(t *testing.T, data []byte) {
		dir := t.TempDir()
		file := filepath.Join(dir, "p.json")
		if err := os.WriteFile(file, data, 0o666); err != nil {
			t.Fatal(err)
		}
		found, err := Check(build.OS{}, file, dir)
		if err == nil && len(found) < 3 {
			t.Errorf("papers without files: %v", found)
		}
		for _, x := range found {
			if filepath.Base(x.Name) != x.Name {
				t.Errorf("looked for %q", x.Name)
			}
		}
		if !json.Valid(data) && !errors.Is(err, ErrNoPapers) {
			t.Errorf("%q is no JSON: %v", data, err)
		}
	})
}
