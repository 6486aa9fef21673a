package lang_test

import (
	"fmt"
	"runtime"
	"slices"
	"strings"
	"testing"

	"waxwright/recipes/lang"
)

// chain is n lets, each of the value of another.
func chain(n int, of func(i int) string) string {
	var b strings.Builder
	b.WriteString("garden \"x\" { }\n")
	for i := range n {
		fmt.Fprintf(&b, "let \"l%d\" { value = %s }\n", i, of(i))
	}
	return b.String()
}

// attacks are recipes that mean harm, and what the one fault has to say. An
// empty one may be read.
func attacks() map[string][2]string {
	let := func(v string) string { return "garden \"x\" { }\nlet \"a\" {\nvalue = " + v + "\n}\n" }
	rep := strings.Repeat
	return map[string][2]string{
		"a million brackets":     {rep("[", 1<<20-1), "too large"},
		"brackets":               {let(rep("[", 100_000) + rep("]", 100_000)), "too large"},
		"fewer brackets":         {let(rep("[", 500) + rep("]", 400)), "deeper than 32"},
		"braces":                 {rep("a {\n", 60_000), "deeper than 32"},
		"signs over many lines":  {let("(" + rep("-\n", 90_000) + "1)"), "an expression or line of over 1000"},
		"signs on one line":      {let(rep("-", 60_000) + "1"), "an expression or line of over 1000"},
		"questions":              {let("(" + rep("true ? 1 :\n", 20_000) + "1)"), "an expression or line of over 1000"},
		"sums":                   {let("(" + rep("1 +\n", 40_000) + "1)"), "an expression or line of over 1000"},
		"nested calls":           {let(rep("abs(-\n", 500) + "1" + rep(")", 500)), "deeper than 32"},
		"quotes":                 {rep("\"\n", 1<<19-1), "too large"},
		"templates in templates": {let(rep("\"${", 300) + "1" + rep("}\"", 300)), "deeper than 32"},
		"open templates":         {let(rep("\"${", 300)), "a quote is opened"},
		"open quotes":            {rep("let \"a\n", 20_000), "a quote is opened"},
		"doubling":               {chain(60, func(i int) string { return fmt.Sprintf("\"${let.l%d}${let.l%d}\"", i+1, i+1) }), "put together"},
		"powers":                 {chain(60, func(i int) string { return fmt.Sprintf("let.l%d * let.l%d + 2", i+1, i+1) }) + "let \"l60\" { value = 2 }\n", "out of all measure"},
		"a great number":         {let("9e300000000 % 7"), "out of all measure"},
		"a very great number":    {let("1e99999999999999999999"), "no number"},
		"digits":                 {let(rep("9", 60_000)), "60000 characters"},
		"a circle of thousands":  {chain(4990, func(i int) string { return fmt.Sprintf("let.l%d", (i+1)%4990) }), "a circle of needs"},
		"a chain of thousands": {chain(4990, func(i int) string {
			return map[bool]string{true: "1", false: fmt.Sprintf("let.l%d + 0", i+1)}[i == 4989]
		}), ""},
		"too many blocks":        {chain(5001, func(int) string { return "1" }), "5000 are allowed"},
		"a long list":            {let("[" + rep("1,\n", 10_000) + "1]"), ""},
		"a long remark":          {"garden \"x\" { }\n#" + rep("xxxxxxxxxxxxxx\n#", 20_000), ""},
		"combining marks":        {"garden \"x\" { }\n# e" + rep("\u0301", 30_000), ""},
		"a long title":           {"garden \"" + rep("a", 60_000) + "\" { }", "a title has"},
		"a long name":            {"garden \"x\" { }\nlet \"" + rep("a", 60_000) + "\" { value = 1 }", "is not a name"},
		"a long word":            {"garden \"x\" { }\nlet \"a\" {\n" + rep("a", 60_000) + " = 1\n}", "is not a word"},
		"a long text":            {let("\"" + rep("a", 60_000) + "\" + 1"), "does not work on"},
		"a line of a megabyte":   {"garden \"" + rep("a", 1<<20-100) + "\" { }", "a line of over 65536 bytes"},
		"blanks":                 {rep(" ", 1<<20-1), "a line of over"},
		"lines":                  {rep("\n", 1<<20-1), "too large"},
		"values outside":         {rep("a=1\n", 10_000), "given twice"},
		"equals":                 {rep("a=", 30_000), "over 1000"},
		"fifty megabytes":        {rep("x", 50<<20), "too large"},
		"fifty megabytes, lines": {rep("\n", 50<<20), "too large"},
		"zero bytes":             {rep("\x00", 1000), "code 0"},
		"terminal codes":         {"garden \"x\" { }\n# \x1b[2J", "code 27"},
		"faults without end":     {chain(1500, func(i int) string { return fmt.Sprintf("bed.b%d.acros", i) }), "there is no bed.b0"},
		"likenesses":             {chain(2400, func(i int) string { return fmt.Sprintf("let.x%d", i) }), "there is no let.x0"},
	}
}

// roomy is the most that reading one hostile recipe may allocate in all: the
// process then stays far below 512 MB.
const roomy = 350 << 20

func TestHostile(t *testing.T) {
	for name, a := range attacks() {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			f, ds := lang.Read([]byte(a[0]), "r.hcl", garden, lang.Options{})
			runtime.ReadMemStats(&after)
			if used := after.TotalAlloc - before.TotalAlloc; used > roomy {
				t.Errorf("allocated %d MB", used>>20)
			}
			if (f == nil) == (a[1] == "") {
				t.Fatalf("read: %v, faults: %v", f != nil, ds)
			}
			if a[1] != "" && !slices.ContainsFunc(ds, func(d lang.Diag) bool { return strings.Contains(d.Summary, a[1]) }) {
				t.Errorf("%v, want %q", ds, a[1])
			}
			var out strings.Builder
			ds.Print(&out, lang.Layout{})
			if out.Len() > 20_000 {
				t.Errorf("%d bytes are printed", out.Len())
			}
			for _, d := range ds {
				if len(d.Summary) > 1000 || len(d.Line) > 1000 || len(d.Detail) > 4000 {
					t.Fatalf("a diagnostic of %d, %d and %d bytes", len(d.Summary), len(d.Line), len(d.Detail))
				}
			}
		})
	}
}

// The same recipe gives the same diagnostics in the same order, though HCL
// hands out the words of a block in any order.
func TestDiagnosticsAreStable(t *testing.T) {
	src := []byte("garden \"x\" { }\nbed \"a\" {\n form = \"circle\"\n b = 1\n c = 2\n d = 1 / 0\n across = sun\n e = null\n}\n")
	_, first := lang.Read(src, "r.hcl", garden, lang.Options{Set: map[string]string{"p": "1", "q": "2"}})
	for range 20 {
		_, again := lang.Read(src, "r.hcl", garden, lang.Options{Set: map[string]string{"p": "1", "q": "2"}})
		if fmt.Sprint(first) != fmt.Sprint(again) {
			t.Fatalf("%v\n%v", first, again)
		}
	}
	if len(first) != 8 {
		t.Errorf("%d faults: %v", len(first), first)
	}
}

// FuzzRead holds what Read promises for any bytes: no panic, a file or faults,
// sorted, with places inside the text; and a dial that was read can be set.
func FuzzRead(f *testing.F) {
	f.Add([]byte(herbs))
	for _, c := range faultCases {
		f.Add([]byte("garden \"x\" { }\n" + c.src + "\n"))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		file, ds := lang.Read(src, "r.hcl", garden, lang.Options{})
		if (file == nil) != ds.Faulty() {
			t.Fatal("neither a file nor a fault, or both")
		}
		at := 0
		for _, d := range ds {
			s := d.Span
			if s.Line == 0 {
				continue
			}
			if s.Byte < at || s.Byte > s.EndByte || s.EndByte > len(src) || s.Line < 1 || s.Column < 1 {
				t.Fatalf("%v at %+v after byte %d of %d", d, s, at, len(src))
			}
			at = s.Byte
		}
		var out strings.Builder
		ds.Print(&out, lang.Layout{})
		if file == nil {
			return
		}
		for _, n := range file.Names() {
			for _, x := range file.Facts(n) {
				_ = x.From()
			}
		}
		for _, d := range file.Dials() {
			now, err := lang.SetLiteral(src, d.Address, "value", "7")
			if err != nil {
				t.Fatal(err)
			}
			if len(now) != len(src)-(d.At.EndByte-d.At.Byte)+1 || now[d.At.Byte] != '7' {
				t.Fatalf("the dial at %v was set to give %q", d.At, now)
			}
		}
	})
}
