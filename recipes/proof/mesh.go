package proof

import (
	"strings"

	"waxwright/recipes/lang"
)

// meshes passes on what build found in judging the meshes as files hold them.
func (b *bench) meshes() error {
	for _, d := range b.model.Remarks() {
		grade := Caution
		if d.Severity == lang.Fault {
			grade = Fail
		}
		address, says, _ := strings.Cut(d.Summary, ": ")
		b.add(Remark{
			Part: address, Address: address, Says: says, Why: d.Detail, Span: d.Span,
		}, grade, Mesh, "mesh", "")
	}
	return nil
}
