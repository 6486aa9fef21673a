package piece

import (
	"strings"

	"waxwright/recipes/lang"
)

// Remarkable lists what the proof may remark on, in the order of its groups:
// the words after the slash in the label of an accept block. A mesh that is not
// sound is not among them: nobody can accept that. Each check of recipes/proof
// names its remarks here.
var Remarkable = []string{
	"wall", "eye", "gap", "wound", "joint", "feed", "hole", "landing", "sheet", "corner", "fillet", "slip",
	"overhang", "spacing", "seat", "hold", "cover", "play", "metal in stone", "way in", "culet", "cut", "prong", "prong neck", "tip", "fold", "light leak",
	"weight", "post", "post length", "notch", "balance", "link", "link bore", "facing", "bail", "bail bore", "bail neck", "bail rim", "hang", "clash",
}

// Accept silences one remark of the proof. Its label is what the remark is
// about: the address of a block and one of Remarkable, "bezel.heart/wall".
type Accept struct {
	lang.Head
	Why string
}

// Describe says what an accept block may hold.
func (b *Accept) Describe(d *lang.Desc) {
	d.About("silences one remark of the proof, for a reason that the papers show",
		"What is accepted no longer counts, and stays in the list.")
	d.Text(&b.Why, "why", "the reason, for whoever reads the papers")
}

// Derive asks for a reason.
func (b *Accept) Derive(s *lang.Scope) {
	if strings.TrimSpace(b.Why) == "" {
		s.Fault("why", "the reason is empty", "say why the remark is accepted")
	}
}

// Key is what it silences, as remarks name it: "bezel.heart/wall".
func (b *Accept) Key() string { return b.Name }
