package main

import (
	"encoding/json"
	"fmt"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"waxwright/geom/manifold"
	"waxwright/geom/mesh"
	"waxwright/geom/stl"
	"waxwright/geom/threemf"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"waxwright": main})
}

// TestScripts runs testdata/scripts: each file is a script with the files that
// it needs.
func TestScripts(t *testing.T) {
	examples, err := filepath.Abs("../../examples")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "../../testdata/scripts",
		Setup: func(e *testscript.Env) error {
			e.Setenv("EXAMPLES", examples)
			return nil
		},
		Condition: func(cond string) (bool, error) {
			switch {
			case cond == "locks": // folders can be locked against whoever runs this
				return runtime.GOOS != "windows" && os.Getuid() != 0, nil
			case cond == "smalldisk":
				return exec.Command("unshare", "-rm", "mount", "-t", "tmpfs", "-o", "size=64k", "none", "/mnt").Run() == nil, nil
			case strings.HasPrefix(cond, "exists:"):
				_, err := os.Stat(strings.TrimPrefix(cond, "exists:"))
				return err == nil, nil
			}
			return false, fmt.Errorf("unknown condition %q", cond)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"wrong":         wrong,
			"judge":         judge,
			"ls":            ls,
			"json":          jsonIs,
			"png":           pngIs,
			"smalldisk":     smallDisk,
			"interrupt":     interrupt,
			"for-each-verb": forEachVerb,
		},
	})
}

// wrong 'pattern' args...: the call is wrong, and its error is like that.
func wrong(ts *testscript.TestScript, neg bool, args []string) {
	c := command(ts, "waxwright", args[1:]...)
	var out, talk strings.Builder
	c.Stdout, c.Stderr = &out, &talk
	err := c.Run()
	if code := c.ProcessState.ExitCode(); code != 2 {
		ts.Fatalf("waxwright %v: exit %d (%v), want 2\n%s", args[1:], code, err, talk.String())
	}
	if out.Len() > 0 {
		ts.Fatalf("waxwright %v: a wrong call printed %q", args[1:], out.String())
	}
	write(ts.MkAbs("talk"), talk.String(), ts)
	defer os.Remove(ts.MkAbs("talk"))
	ts.Check(ts.Exec("grep", "-E", "-q", "-e", args[0], "talk"))
}

// command makes a command that runs where the script stands.
func command(ts *testscript.TestScript, name string, args ...string) *exec.Cmd {
	path, err := exec.LookPath(name)
	ts.Check(err)
	c := exec.Command(path, args...)
	c.Dir = ts.MkAbs(".")
	return c
}

func write(name, text string, ts *testscript.TestScript) {
	ts.Check(os.WriteFile(name, []byte(text), 0o666))
}

// judge FILE: reads an STL or 3MF file back and judges it.
func judge(ts *testscript.TestScript, neg bool, args []string) {
	meshes, err := readBack(ts.MkAbs(args[0]))
	ts.Check(err)
	bodies := 0
	for _, m := range meshes {
		r := manifold.Judge(m)
		if !r.OK() {
			ts.Fatalf("%s: %s", args[0], r.String())
		}
		bodies += len(r.Bodies)
	}
	fmt.Fprintf(ts.Stdout(), "sound: %d bodies\n", bodies)
}

// readBack reads the meshes of a file.
func readBack(name string) ([]*mesh.Mesh, error) {
	b, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	if filepath.Ext(name) == ".stl" {
		m, err := stl.Parse(b, stl.Limits{})
		return []*mesh.Mesh{m}, err
	}
	model, err := threemf.Parse(b, threemf.Limits{})
	if err != nil {
		return nil, err
	}
	var all []*mesh.Mesh
	for _, o := range model.Objects {
		all = append(all, o.Mesh)
	}
	return all, nil
}

// ls DIR lists a folder, hidden files too.
func ls(ts *testscript.TestScript, neg bool, args []string) {
	entries, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	for _, e := range entries {
		name := e.Name()
		if name == ".tmp" { // the script's own
			continue
		}
		if e.IsDir() {
			name += "/"
		}
		fmt.Fprintln(ts.Stdout(), name)
	}
}

// json PATH VALUE: the last output is JSON, and there stands that.
func jsonIs(ts *testscript.TestScript, neg bool, args []string) {
	var v any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile("stdout")), &v))
	for _, step := range strings.Split(args[0], ".") {
		switch at := v.(type) {
		case map[string]any:
			v = at[step]
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i >= len(at) {
				ts.Fatalf("%s: there is no element %s of %d", args[0], step, len(at))
			}
			v = at[i]
		default:
			ts.Fatalf("%s: nothing is there", args[0])
		}
	}
	if got := fmt.Sprint(v); got != args[1] {
		ts.Fatalf("%s is %q, want %q", args[0], got, args[1])
	}
}

// png FILE W H: the file is a picture of that size, with something in it.
func pngIs(ts *testscript.TestScript, neg bool, args []string) {
	f, err := os.Open(ts.MkAbs(args[0]))
	ts.Check(err)
	defer f.Close()
	img, err := png.Decode(f)
	ts.Check(err)
	size := img.Bounds().Size()
	if fmt.Sprint(size.X) != args[1] || fmt.Sprint(size.Y) != args[2] {
		ts.Fatalf("%s is %v", args[0], size)
	}
	seen := map[any]bool{}
	for x := range size.X {
		seen[img.At(x, size.Y/2)] = true
	}
	if len(seen) < 8 {
		ts.Fatalf("%s shows nothing", args[0])
	}
}

// smalldisk DIR call...: runs a call with a disk of 64 kB in place of DIR, which
// holds a note, and says how it ended and what it left there.
func smallDisk(ts *testscript.TestScript, neg bool, args []string) {
	const script = `
mount -t tmpfs -o size=64k none "$1" || exit 99
echo keep >"$1/note.txt"
dir=$1
shift
"$@" >/dev/null
echo "exit $?"
echo "left: $(ls -A "$dir")"
`
	ts.Check(ts.Exec("unshare", append([]string{"-rm", "sh", "-c", script, "sh"}, args...)...))
}

// interrupt call...: runs a call and interrupts it once it is at work.
func interrupt(ts *testscript.TestScript, neg bool, args []string) {
	c := command(ts, args[0], args[1:]...)
	c.Stdout, c.Stderr = ts.Stdout(), ts.Stderr()
	ts.Check(c.Start())
	atWork(c.Process.Pid)
	ts.Check(c.Process.Signal(os.Interrupt))
	err := c.Wait()
	if code := c.ProcessState.ExitCode(); code != 1 {
		ts.Fatalf("an interrupted call ended with %d: %v", code, err)
	}
}

// atWork waits until a process has worked for a second, and so listens
// for signals; where the system does not tell, for two seconds.
func atWork(pid int) {
	const ticks = 100 // a second, in what proc(5) tells
	for range 600 {
		stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
		if err != nil {
			time.Sleep(2 * time.Second)
			return
		}
		_, after, _ := strings.Cut(string(stat), ") ")
		var user, system int
		if f := strings.Fields(after); len(f) > 12 { // the 14th and 15th of all
			user, _ = strconv.Atoi(f[11])
			system, _ = strconv.Atoi(f[12])
		}
		if user+system > ticks {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// for-each-verb args...: runs every verb of the overview with the arguments.
func forEachVerb(ts *testscript.TestScript, neg bool, args []string) {
	c := command(ts, "waxwright", "--help")
	text, err := c.Output()
	ts.Check(err)
	verbs := 0
	for _, line := range strings.Split(string(text), "\n") {
		if name, about, ok := strings.Cut(strings.TrimPrefix(line, "  "), "  "); ok && strings.HasPrefix(line, "  ") && strings.TrimSpace(about) != "" {
			verbs++
			out, err := command(ts, "waxwright", append([]string{name}, args...)...).Output()
			ts.Check(err)
			if !strings.Contains(string(out), "\nExample:\n\n  ") {
				ts.Fatalf("waxwright %s %v gives no example", name, args)
			}
			fmt.Fprint(ts.Stdout(), string(out))
		}
	}
	if verbs < 5 {
		ts.Fatalf("only %d verbs were found", verbs)
	}
}
