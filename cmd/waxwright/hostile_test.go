package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"
)

// hostile are recipes that ask for the impossible. Each has to end in an error
// that says something like want.
var hostile = []struct {
	name, src string
	args      []string
	want      string
}{
	{"brackets", `piece "p" {}` + "\nlet \"a\" {\n  value = " + strings.Repeat("[", 100_000) + "\n}\n", nil, "deep|a line of over"},
	{"blocks in blocks", strings.Repeat(`plate "a" {`, 50_000), nil, "deep|too large"},
	{"50 MB of text", strings.Repeat("# nothing but remarks\n", 50<<20/22), nil, "large"},
	{"one long line", `piece "p" {}` + "\nlet \"a\" {\n  value = 1" + strings.Repeat(" + 1", 200_000) + "\n}\n", nil, "line|too large"},
	{"doubling", doubling(40), nil, "put together from parts"},
	{"loops", "piece \"p\" {}\nlet \"a\" {\n  value = [for x in [1, 2] : x]\n}\n", nil, "for"},
	{"a circle of needs", "piece \"p\" {}\nlet \"a\" {\n  value = let.b\n}\nlet \"b\" {\n  value = let.a\n}\n", nil, "circle|needs"},
	{"a long chain of needs", chain(4_000), nil, "there is no metal"},
	{"no number", plateOf("1 / 0"), nil, "divi|number|finite"},
	{"a number beyond measure", plateOf("9e300000000 % 7"), nil, "number|measure"},
	{"a negative size", plateOf("-4"), nil, "across"},
	{"nothing", plateOf("0"), nil, "across"},
	{"a dial that is no number", dialled, []string{"--set", "size=NaN"}, "size"},
	{"a dial without end", dialled, []string{"--set", "size=1e308"}, "size"},
	{"a plate of ten metres", plateOf("10000"), nil, "across|large"},
	{"a plate of a kilometre", plateOf("1e6"), nil, "across|large"},
	{"1e9 stones", stones("1e9", "0.2"), nil, "count"},
	{"stones without room", stones("100000", "0.2"), nil, "count|large|parts"},
	{"half a stone", stones("3.5", "0.2"), nil, "count"},
	{"many blocks", piled(20_000), nil, "too large"},
	{"many faults", "piece \"p\" {}\n" + strings.Repeat("plate \"a\" {\n  accross = 3\n}\n", 4_000), nil, "accross"},
	{"many names alike", "piece \"p\" {}\n" + alike(4_000), nil, "fault"},
	{"no text at all", string([]byte{0xff, 0xfe, 0, 0, 1, 2, 3}), nil, "UTF-8|text"},
	{"zeros", strings.Repeat("\x00", 100_000), nil, "fault"},
	{"quotes", strings.Repeat(`"`, 100_001), nil, "fault"},
	{"heredoc", "piece \"p\" {}\nlet \"a\" {\n  value = <<EOT\n" + strings.Repeat("${", 10_000) + "\nEOT\n}\n", nil, "fault"},
}

func plateOf(across string) string {
	return fmt.Sprintf("piece \"p\" {}\nplate \"a\" {\n  form = \"circle\"\n  across = %s\n  thickness = 1\n}\n", across)
}

const dialled = "piece \"p\" {}\ndial \"size\" {\n  value = 5\n}\nplate \"a\" {\n  form = \"circle\"\n  across = dial.size\n  thickness = 1\n}\n"

func stones(count, gap string) string {
	return fmt.Sprintf("%sstones \"s\" {\n  layout = \"ring\"\n  cut = \"round\"\n  gem = \"citrine\"\n  size = 2\n  count = %s\n  gap = %s\n}\nprongs \"c\" {\n  on = plate.a\n  holds = stones.s\n  where = \"inner pockets\"\n  wire = 0.6\n}\n",
		plateOf("2 * stones.s.reach + 4"), count, gap)
}

// doubling is a text that doubles with every line.
func doubling(n int) string {
	s := "piece \"p\" {}\nlet \"a0\" {\n  value = \"ha\"\n}\n"
	for i := range n {
		s += fmt.Sprintf("let \"a%d\" {\n  value = \"${let.a%d.value}${let.a%d.value}\"\n}\n", i+1, i, i)
	}
	return s
}

// chain is lets of which each needs the next.
func chain(n int) string {
	var s strings.Builder
	s.WriteString("piece \"p\" {}\n")
	for i := range n {
		fmt.Fprintf(&s, "let \"a%d\" {\n  value = let.a%d\n}\n", i, i+1)
	}
	fmt.Fprintf(&s, "let \"a%d\" {\n  value = 1\n}\n", n)
	return s.String()
}

func piled(n int) string {
	var s strings.Builder
	s.WriteString("piece \"p\" {}\n")
	for i := range n {
		fmt.Fprintf(&s, "let \"a%d\" {\n  value = %d\n}\n", i, i)
	}
	return s.String()
}

// alike refers to names that do not exist and are like many that do.
func alike(n int) string {
	var s strings.Builder
	for i := range n {
		fmt.Fprintf(&s, "let \"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaa%d\" {\n  value = let.aaaaaaaaaaaaaaaaaaaaaaaaaaaaab%d\n}\n", i, i)
	}
	return s.String()
}

// mostMemory is what a hostile recipe may cost, in bytes.
const mostMemory = 512 << 20

// TestHostile runs the command on recipes that attack it: an error, exit 1, no
// panic, bounded memory. The time limit catches what hangs; on a quiet machine
// each takes well under two seconds.
func TestHostile(t *testing.T) {
	bin, err := exec.LookPath("waxwright")
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range hostile {
		t.Run(h.name, func(t *testing.T) {
			dir := t.TempDir()
			file := filepath.Join(dir, "attack.hcl")
			if err := os.WriteFile(file, []byte(h.src), 0o666); err != nil {
				t.Fatal(err)
			}
			ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
			defer cancel()
			c := exec.CommandContext(ctx, bin, append([]string{"make", "attack.hcl"}, h.args...)...)
			c.Dir = dir
			var talk strings.Builder
			c.Stderr = &talk
			start := time.Now()
			_ = c.Run()
			took := time.Since(start)
			said := talk.String()
			if code := c.ProcessState.ExitCode(); code != 1 {
				t.Fatalf("exit %d, %v\n%.2000s", code, ctx.Err(), said)
			}
			if strings.Contains(said, "panic") || strings.Contains(said, "goroutine ") {
				t.Fatalf("it panicked:\n%.2000s", said)
			}
			if len(said) > 100_000 {
				t.Errorf("%d bytes of talk", len(said))
			}
			found := false
			for _, w := range strings.Split(h.want, "|") {
				found = found || strings.Contains(said, w)
			}
			if !found {
				t.Errorf("it said %.600q, want %q in it", said, h.want)
			}
			if u, ok := c.ProcessState.SysUsage().(*syscall.Rusage); ok && runtime.GOOS == "linux" {
				if peak := u.Maxrss << 10; peak > mostMemory {
					t.Errorf("it took %d MB", peak>>20)
				}
				t.Logf("%v, %d MB", took.Round(time.Millisecond), u.Maxrss>>10)
			}
			if left, _ := os.ReadDir(dir); len(left) != 1 {
				t.Errorf("it left %v", left)
			}
		})
	}
}
