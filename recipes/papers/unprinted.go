package papers

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"waxwright/recipes/lang"
	"waxwright/recipes/typeface"
)

// Unprinted remarks on letters of the papers' texts that their fonts lack, which
// stand as empty boxes on paper: a caution for each, where the recipe has it.
func Unprinted(p *Papers, recipe *lang.File) (lang.Diags, error) {
	data, err := json.Marshal(p)
	if err != nil {
		return nil, fmt.Errorf("papers: %w", err)
	}
	var all any
	if err := json.Unmarshal(data, &all); err != nil {
		return nil, fmt.Errorf("papers: %w", err)
	}
	var texts strings.Builder
	gatherTexts(all, &texts)
	var out lang.Diags
	for _, r := range typeface.New().Lacks(texts.String()) {
		out = append(out, recipe.RemarkText(lang.Caution, string(r),
			fmt.Sprintf("the fonts of papers have no %c (U+%04X): it is printed as an empty box", r, r),
			"papers have the letters of Latin, Greek and Cyrillic: write it with these"))
	}
	return out, nil
}

// gatherTexts writes all strings of a decoded JSON value, one a line, those of an
// object in the order of its keys.
func gatherTexts(v any, to *strings.Builder) {
	switch v := v.(type) {
	case string:
		to.WriteString(v)
		to.WriteByte('\n')
	case []any:
		for _, w := range v {
			gatherTexts(w, to)
		}
	case map[string]any:
		for _, key := range slices.Sorted(maps.Keys(v)) {
			gatherTexts(v[key], to)
		}
	}
}
