package papers

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"

	"waxwright/recipes/build"
)

// Finding out whether papers, models and recipe belong together.

// Found is what Check says of one file.
type Found struct {
	Name string `json:"name"`
	What string `json:"what"` // "recipe", "model", "paper"
	Is   string `json:"is"`   // "the same", "different", "missing"
}

// Words of Found.Is.
const (
	Same      = "the same"
	Different = "different"
	Missing   = "missing"
)

// ErrNoPapers is returned for JSON that is none of ours.
var ErrNoPapers = errors.New("no papers of waxwright")

// maxJSON is far more than papers of the largest piece take, bytes.
const maxJSON = 64 << 20

// Check compares the files of a folder with the fingerprints in a JSON file of
// papers: the recipe, the models, the papers themselves. A file that is not there
// is Missing. It fails where the JSON can't be read (ErrNoPapers where it is
// something else) or a file can't be.
func Check(disk build.Disk, file, dir string) ([]Found, error) {
	data, err := read(disk, file, maxJSON)
	if err != nil {
		return nil, err
	}
	var p Papers
	if err := json.Unmarshal(data, &p); err != nil {
		return nil, fmt.Errorf("%s: %w: %v", file, ErrNoPapers, err)
	}
	if p.Schema != Schema {
		return nil, fmt.Errorf("%s: %w: its schema is %q, not %q", file, ErrNoPapers, p.Schema, Schema)
	}
	if len(p.Models) == 0 || len(p.Files) == 0 {
		return nil, fmt.Errorf("%s: %w: it names no files", file, ErrNoPapers)
	}
	var all []Found
	for _, part := range []struct {
		what  string
		files []Fingerprint
	}{{"recipe", []Fingerprint{p.Recipe}}, {"model", p.Models}, {"paper", p.Files}} {
		for _, f := range part.files {
			is, err := compare(disk, dir, f)
			if err != nil {
				return nil, err
			}
			all = append(all, Found{f.Name, part.what, is})
		}
	}
	return all, nil
}

// compare looks for one file.
func compare(disk build.Disk, dir string, f Fingerprint) (string, error) {
	if f.Name == "" || filepath.Base(f.Name) != f.Name {
		return "", fmt.Errorf("%q is no name of a file", f.Name)
	}
	data, err := read(disk, filepath.Join(dir, f.Name), 1<<40)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return Missing, nil
	case err != nil:
		return "", err
	case sum(data) != f.SHA256:
		return Different, nil
	}
	return Same, nil
}

func read(disk build.Disk, name string, most int64) ([]byte, error) {
	f, err := disk.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(data)) > most {
		err = errors.New("it is too large")
	}
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", name, err)
	}
	return data, nil
}
