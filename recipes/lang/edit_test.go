package lang_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"waxwright/recipes/lang"
)

func TestSetLiteral(t *testing.T) {
	for _, c := range []struct{ address, word, text, old, new string }{
		{"dial.leaves", "value", "12", "value = 10                  # how many", "value = 12                  # how many"},
		{"dial.leaves", "step", "0.25", "step  = 1", "step  = 0.25"},
		{"ring.herbs", "gap", "-0.5", "gap    = 0.20", "gap    = -0.5"},
		{"bed.sun", "form", `"circle"`, `form   = "oblong"`, `form   = "circle"`},
		{"ring.herbs", "one 3.size", "4", "size = 3 }", "size = 4 }"},
		{"bed.sun", "border.width 2", "1.2", "width = [0.25, 0.9]", "width = [0.25, 1.2]"},
		{"ring.herbs", "plants 1", `"thyme"`, `["sage", "rue"]`, `["thyme", "rue"]`},
		{"garden", "soil", `"clay"`, `"sand"`, `"clay"`},
	} {
		got, err := lang.SetLiteral([]byte(herbs), c.address, c.word, c.text)
		if want := strings.Replace(herbs, c.old, c.new, 1); err != nil || string(got) != want {
			t.Errorf("%s of %s: %v\n%s", c.word, c.address, err, got)
		}
	}
}

func TestSetLiteralRefuses(t *testing.T) {
	for _, c := range []struct{ address, word, text, says string }{
		{"dial.petals", "value", "12", "no written value"},
		{"dial.leaves", "colour", "12", "no written colour"},
		{"ring.herbs", "count", "12", "no literal: dial.leaves"},
		{"ring.herbs", "plants", "12", "no literal: ["},
		{"ring.herbs", "plants 3", `"thyme"`, "no written plants 3"},
		{"ring.herbs", "plants 0", `"thyme"`, "no written plants 0"},
		{"ring.herbs", "plants two", `"thyme"`, "no written plants two"},
		{"ring.herbs", "plants 2", `"thyme", "mint"`, "no literal"},
		{"ring.herbs", "gap 1", "12", "no written gap 1"},
		{"dial.leaves", "value", "", "no literal"},
		{"dial.leaves", "value", "1 + 1", "no literal"},
		{"dial.leaves", "value", "dial.leaves", "no literal"},
		{"dial.leaves", "value", "12 # more", "no literal"},
		{"dial.leaves", "value", "12\n}\nlet \"x\" {\n value = 1", "no literal"},
		{"dial.leaves", "value", "\"x\" # more", "no literal"},
		{"dial.leaves", "value", "[1]", "no literal"},
		{"dial.leaves", "value", "(1)", "no literal"},
		{"dial.leaves", "value", "1e300", "no literal"},
		{"dial.leaves", "value", `"${pi}"`, "no literal"},
	} {
		got, err := lang.SetLiteral([]byte(herbs), c.address, c.word, c.text)
		if got != nil || err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s of %s to %q: error %v, want %q", c.word, c.address, c.text, err, c.says)
		}
	}
	if _, err := lang.SetLiteral([]byte("let {"), "let.a", "value", "1"); err == nil {
		t.Error("a recipe that does not parse was edited")
	}
}

// Whatever the layout, a literal that is set is read back, all other bytes
// stay, and setting the old text again gives the old file.
func TestSetLiteralRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		blank := func() string { return rapid.SampledFrom([]string{"", " ", "  \t", "/* é */ "}).Draw(t, "blank") }
		end := rapid.SampledFrom([]string{"\n", "\r\n", " # ü 10\n", " // 3\r\n"})
		mark := rapid.SampledFrom([]string{"", "\ufeff"}).Draw(t, "mark")
		number := func(name string) string {
			v := rapid.Float64Range(-1e6, 1e6).Draw(t, name)
			return fmt.Sprintf(rapid.SampledFrom([]string{"%.0f", "%.2f", "%.3e", "%v"}).Draw(t, "format"), v)
		}
		old, text := number("old"), number("new")
		before := mark + "# first" + end.Draw(t, "end") + "garden \"ö\" {" + end.Draw(t, "end") + "}" + end.Draw(t, "end") +
			"dial \"d\" {" + end.Draw(t, "end") + blank() + "value" + blank() + "=" + blank()
		after := blank() + end.Draw(t, "end") + "}" + end.Draw(t, "end") + "let \"l\" { value = dial.d }\n"
		src := []byte(before + old + after)

		out, err := lang.SetLiteral(src, "dial.d", "value", text)
		if err != nil {
			if strings.Contains(text, "e-") || strings.Contains(old, "e-") {
				t.Skip("below the least literal")
			}
			t.Fatal(err)
		}
		if string(out) != before+text+after {
			t.Fatalf("%q became %q", src, out)
		}
		f, ds := lang.Read(out, "r.hcl", garden, lang.Options{})
		if f == nil {
			t.Fatal(ds)
		}
		d := f.Dials()[0]
		if string(out[d.At.Byte:d.At.EndByte]) != text {
			t.Fatalf("the dial is said to stand at %v", d.At)
		}
		if got, err := d.Value.Number(); err != nil || got != mustFloat(text) {
			t.Fatalf("set to %s, read %v", text, got)
		}
		back, err := lang.SetLiteral(out, "dial.d", "value", old)
		if err != nil || !bytes.Equal(back, src) {
			t.Fatalf("back to %q: %q, %v", src, back, err)
		}
	})
}

func mustFloat(s string) float64 {
	var v float64
	if _, err := fmt.Sscan(s, &v); err != nil {
		panic(err)
	}
	return v
}
