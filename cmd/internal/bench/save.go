package bench

import (
	"errors"
	"fmt"
	"maps"
	"net/http"
	"slices"

	"waxwright/recipes/build"
	"waxwright/recipes/lang"
	"waxwright/recipes/piece"
)

// errChanged is why a recipe was not saved: somebody else has changed the file.
var errChanged = errors.New("the file was changed elsewhere in the meantime: read it again, then save")

// save writes the values of dials into the recipe, in the place of their
// literals; all other bytes stay. It refuses when the file is not of that
// revision any more (errChanged), and when the recipe could not be made then
// (faults). The file is replaced in one step, and keeps its mode.
func (d *desk) save(revision string, values map[string]any) ([]fault, error) {
	d.saving.Lock()
	defer d.saving.Unlock()
	src, err := readFile(d.path)
	if err != nil {
		return nil, err
	}
	if revisionOf(src) != revision {
		return nil, errChanged
	}
	next, faults := written(src, d.name, values)
	if len(faults) > 0 {
		return faults, nil
	}
	if _, diags := piece.Read(next, d.name, nil); diags.Faulty() {
		return faultsOf(diags), nil
	}
	if err := build.Replace(build.OS{}, d.path, src, next); errors.Is(err, build.ErrChanged) {
		return nil, errChanged
	} else if err != nil {
		return nil, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.now.Revision = revisionOf(next)
	d.now.Dials = slices.Clone(d.now.Dials)
	for i, e := range d.now.Dials {
		if v, ok := values[e.Name]; ok {
			d.now.Dials[i].Saved = v
		}
	}
	d.order(func(o *order) {
		set := map[string]string{}
		for name, text := range o.set {
			if _, saved := values[name]; !saved {
				set[name] = text
			}
		}
		o.src, o.set = next, set
	})
	return nil, nil
}

// written returns a recipe with the values of dials in the place of their
// literals, or what is in the way of each that can't be.
func written(src []byte, name string, values map[string]any) ([]byte, []fault) {
	var faults []fault
	for _, dial := range slices.Sorted(maps.Keys(values)) {
		text, err := dialText(values[dial])
		if _, word := values[dial].(string); word {
			text = lang.TextValue(text).String()
		}
		if err == nil {
			var next []byte
			if next, err = lang.SetLiteral(src, "dial."+dial, "value", text); err == nil {
				src = next
			}
		}
		if err != nil {
			faults = append(faults, fault{
				Message: fmt.Sprintf("dial %s can't be saved: %v", dial, err),
				Fix:     "change it in the recipe by hand", File: name,
			})
		}
	}
	return src, faults
}

// saves answers a request to save.
func (s *server) saves(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Revision string         `json:"revision"`
		Values   map[string]any `json:"values"`
	}
	if !s.read(w, r, &in) {
		return
	}
	faults, err := s.desk.save(in.Revision, in.Values)
	switch {
	case errors.Is(err, errChanged):
		s.reply(w, http.StatusConflict, refusal{Schema: schema, Error: err.Error(), Revision: s.desk.onDisk()})
	case err != nil:
		s.refuse(w, http.StatusInternalServerError, err.Error())
	case len(faults) > 0:
		s.reply(w, http.StatusUnprocessableEntity, refusal{Schema: schema, Error: "the recipe could not be made with these values; nothing was saved", Faults: faults})
	default:
		s.reply(w, http.StatusOK, s.desk.state())
	}
}

// onDisk is the revision of the file as it is now, "" when it can't be read.
func (d *desk) onDisk() string {
	src, err := readFile(d.path)
	if err != nil {
		return ""
	}
	return revisionOf(src)
}
