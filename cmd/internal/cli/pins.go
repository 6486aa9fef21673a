package cli

import (
	"fmt"
	"image/color"
	"strconv"
	"strings"

	"waxwright/geom/picture"
	"waxwright/recipes/build"
	"waxwright/recipes/proof"
)

// gradeInks are the colours of remarks on pictures, dark enough for light
// figures; they differ in lightness too.
var gradeInks = [...]color.NRGBA{
	proof.Fail:    {R: 160, G: 28, B: 36, A: 255},
	proof.Caution: {R: 190, G: 116, B: 10, A: 255},
	proof.Note:    {R: 74, G: 98, B: 122, A: 255},
}

// listShare is how much of a picture's height its list may take.
const listShare = 0.4

// pin numbers the remarks of a report as prove lists them, pins each to its
// place, and lists what they say under the picture.
func (s *shot) pin(m *build.Model, report *proof.Report) {
	most := max(1, int(listShare*float64(s.Height)/picture.LineHeight(s.Options))-1)
	var unchecked, left int
	for _, r := range report.Remarks {
		if r.Grade == proof.Unchecked {
			unchecked++
			continue
		}
		label, ink := strconv.Itoa(r.Number), gradeInks[r.Grade]
		for j := range m.Castings {
			if c := &m.Castings[j]; c.Name == r.Casting {
				s.Pins = append(s.Pins, picture.Pin{At: m.Worn(c).Point(r.At), Label: label, Color: ink})
			}
		}
		if len(s.List) == most {
			left++
			continue
		}
		text := fmt.Sprintf("%s: %s: %s", r.Grade, r.Part, r.Says)
		if r.Count > 1 {
			text += fmt.Sprintf(", %d places", r.Count)
		}
		s.List = append(s.List, picture.Entry{Label: label, Color: ink, Text: text})
	}
	var rest []string // of what is not on the picture
	if left > 0 {
		rest = append(rest, fmt.Sprintf("%d more", left))
	}
	if unchecked > 0 {
		rest = append(rest, fmt.Sprintf("%d not checked", unchecked))
	}
	if n := len(report.Accepted); n > 0 {
		rest = append(rest, fmt.Sprintf("%d accepted by the recipe", n))
	}
	last := ""
	switch {
	case len(rest) > 0:
		last = strings.Join(rest, ", ") + ": waxwright prove tells them all"
	case len(s.Pins) == 0 && len(report.Remarks) == 0:
		last = "no remarks by house " + report.House
	}
	if last != "" {
		s.List = append(s.List, picture.Entry{Text: last})
	}
}
