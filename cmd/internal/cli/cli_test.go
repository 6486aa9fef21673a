package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"waxwright/recipes/build"
)

// TestPermute finds the same flags and names in any order of a call.
func TestPermute(t *testing.T) {
	app := (&run{}).app()
	flags := [][]string{{"--out", "-dir-"}, {"--set=a=1"}, {"--set", "b=-2"}, {"--tolerance", "0.01"}, {"--json"}, {"--workers=2"}}
	rapid.Check(t, func(t *rapid.T) {
		parts := slices.Clone(flags[:rapid.IntRange(0, len(flags)).Draw(t, "flags")])
		want, err := permute(app, append([]string{"make"}, append(slices.Concat(parts...), "file.hcl")...))
		if err != nil {
			t.Fatal(err)
		}
		at := rapid.IntRange(0, len(parts)).Draw(t, "place of the file")
		args := []string{"make"}
		for i, p := range parts {
			if i == at {
				args = append(args, "file.hcl")
			}
			args = append(args, p...)
		}
		if at == len(parts) {
			args = append(args, "file.hcl")
		}
		got, err := permute(app, args)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Fatalf("%q became %q (%v), want %q", args, got, err, want)
		}
		if got[len(got)-1] != "file.hcl" || got[len(got)-2] != "--" {
			t.Fatalf("%q: the file does not stand last, behind --", got)
		}
	})
}

// FuzzPermute takes any call: no panic, and no word of it is lost.
func FuzzPermute(f *testing.F) {
	f.Add("make\x00a.hcl\x00--set\x00x=1")
	f.Add("--json\x00make")
	f.Add("make\x00--\x00--x\x00-")
	f.Add("\x00\x00-\x00--\x00=")
	app := (&run{}).app()
	f.Fuzz(func(t *testing.T, call string) {
		args := strings.Split(call, "\x00")
		got, err := permute(app, args)
		if err != nil || slices.Contains(got, "--help") {
			return
		}
		kept := strings.Join(got, " ")
		for _, a := range args {
			_, value, _ := strings.Cut(a, "=")
			if !strings.Contains(kept, strings.TrimLeft(a, "-")) && !strings.Contains(kept, value) {
				t.Errorf("%q lost %q: %q", args, a, got)
			}
		}
	})
}

// call runs the command in memory.
func call(t *testing.T, terminal bool, env map[string]string, args ...string) (code int, out, talk string) {
	t.Helper()
	var o, e bytes.Buffer
	code = Main(context.Background(), args, World{
		In: strings.NewReader(""), Out: &o, Err: &e, Disk: build.OS{},
		Getenv: func(k string) string { return env[k] }, Terminal: terminal,
	})
	return code, o.String(), e.String()
}

// TestColour paints faults on screens only, and not where NO_COLOR is set.
func TestColour(t *testing.T) {
	file := filepath.Join(t.TempDir(), "faulty.hcl")
	if err := os.WriteFile(file, []byte("plate \"a\" {}\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		terminal bool
		env      map[string]string
		colour   bool
	}{
		{true, nil, true},
		{false, nil, false},
		{true, map[string]string{"NO_COLOR": "1"}, false},
		{true, map[string]string{"TERM": "dumb"}, false},
	} {
		code, out, talk := call(t, c.terminal, c.env, "make", file)
		if code != exitFaults || out != "" {
			t.Errorf("exit %d, printed %q", code, out)
		}
		if got := strings.Contains(talk, "\x1b["); got != c.colour {
			t.Errorf("terminal %v, %v: coloured %v in %q", c.terminal, c.env, got, talk)
		}
	}
}

// TestMeter shows progress on a screen after a second, and else nothing.
func TestMeter(t *testing.T) {
	for _, c := range []struct {
		terminal bool
		ago      time.Duration
		shown    bool
	}{{true, 2 * patience, true}, {true, 0, false}, {false, 2 * patience, false}} {
		var talk bytes.Buffer
		m := (&run{World{Err: &talk, Terminal: c.terminal}}).meter("the piece")
		m.start = m.start.Add(-c.ago)
		for i := range 11 {
			m.step(i, 10)
		}
		m.end()
		if got := strings.Contains(talk.String(), "the piece"); got != c.shown {
			t.Errorf("terminal %v after %v: %q", c.terminal, c.ago, talk.String())
		}
	}
}

// TestTable sets columns flush, at 100 columns for the longest names in use.
func TestTable(t *testing.T) {
	tab := table{right: "01"}
	tab.row("é", "1", "x")
	tab.row("long", "100", "")
	if got, want := tab.String(), "é       1  x\nlong  100\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// TestCancelled says that nothing was written.
func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, talk bytes.Buffer
	dir := filepath.Join(t.TempDir(), "models")
	code := Main(ctx, []string{"make", "../../../examples/stud/stud.hcl", "--out", dir}, World{
		Out: &out, Err: &talk, Disk: build.OS{}, Getenv: func(string) string { return "" },
	})
	if code != exitFaults || out.Len() > 0 || !strings.Contains(talk.String(), "stopped; nothing was written") {
		t.Errorf("exit %d, %q, %q", code, out.String(), talk.String())
	}
	if _, err := os.Stat(dir); err == nil {
		t.Error("it left a folder")
	}
}
