package lang

import "testing"

// A word that is cut short means the one that goes on, if a slip is no likelier.
func TestNearestCutShort(t *testing.T) {
	flags := []string{"--out", "--for", "--set", "--tolerance", "--workers"}
	for _, c := range []struct {
		word, want string
		known      []string
	}{
		{"--tol", "--tolerance", flags},
		{"--t", "", flags},
		{"--fo", "--for", flags},
		{"thick", "thickness", []string{"thicken", "thickness", "thick2"}[1:2]},
		{"thick", "", []string{"thickness", "thickenings"}},
		{"thick", "thin", []string{"thin", "thickness", "thickenings"}},
		{"tick", "thick", []string{"ticketing", "thick"}},
	} {
		if got := Nearest(c.word, c.known); got != c.want {
			t.Errorf("%s of %v: %q, want %q", c.word, c.known, got, c.want)
		}
	}
}
