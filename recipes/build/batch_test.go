package build

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// worn is a disk on which the n-th operation fails, and only that.
type worn struct {
	OS
	left  int
	links bool // whether it knows links at all
	err   error
}

func (d *worn) fail(op, name string) error {
	d.left--
	if d.left == 0 {
		return &fs.PathError{Op: op, Path: name, Err: d.err}
	}
	return nil
}

func (d *worn) Create(name string) (File, error) {
	if err := d.fail("create", name); err != nil {
		return nil, err
	}
	f, err := d.OS.Create(name)
	return &wornFile{f, d}, err
}

func (d *worn) Mkdir(name string) error {
	if err := d.fail("mkdir", name); err != nil {
		return err
	}
	return d.OS.Mkdir(name)
}

func (d *worn) Link(from, to string) error {
	if !d.links {
		return &fs.PathError{Op: "link", Path: to, Err: syscall.EPERM}
	}
	if err := d.fail("link", to); err != nil {
		return err
	}
	return d.OS.Link(from, to)
}

func (d *worn) Rename(from, to string) error {
	if err := d.fail("rename", to); err != nil {
		return err
	}
	return d.OS.Rename(from, to)
}

type wornFile struct {
	File
	d *worn
}

func (f *wornFile) Write(b []byte) (int, error) {
	if err := f.d.fail("write", "file"); err != nil {
		n, _ := f.File.Write(b[:len(b)/2])
		return n, err
	}
	return f.File.Write(b)
}

func (f *wornFile) Sync() error {
	if err := f.d.fail("sync", "file"); err != nil {
		return err
	}
	return f.File.Sync()
}

// contents reads a folder with all that is in it.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(dir, path)
		all[rel] = "folder"
		if !e.IsDir() {
			b, err := os.ReadFile(path)
			all[rel] = string(b)
			return err
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// three writes three files, two of which replace older ones.
func three(disk Disk, dir string) error {
	b, err := NewBatch(disk, dir)
	if err != nil {
		return err
	}
	defer b.Discard()
	for _, name := range []string{"a", "b", "c"} {
		b.Add(name, func(w io.Writer) error {
			for i := range 30_000 { // more than one buffer
				if _, err := fmt.Fprintln(w, name, i); err != nil {
					return err
				}
			}
			return nil
		})
	}
	return b.Commit()
}

// TestBatchAllOrNothing lets every operation fail once, one after another.
func TestBatchAllOrNothing(t *testing.T) {
	for _, links := range []bool{true, false} {
		for _, fresh := range []bool{true, false} {
			failures := 0
			for n := 1; ; n++ {
				top := t.TempDir()
				dir := filepath.Join(top, "out")
				if !fresh {
					os.Mkdir(dir, 0o777)
					os.WriteFile(filepath.Join(dir, "a"), []byte("old a"), 0o666)
					os.WriteFile(filepath.Join(dir, "b"), []byte("old b"), 0o666)
					os.WriteFile(filepath.Join(dir, "z"), []byte("other"), 0o666)
				}
				before := contents(t, top)
				disk := &worn{left: n, links: links, err: syscall.ENOSPC}
				err := three(disk, dir)
				after := contents(t, top)
				if disk.left > 0 { // nothing was left to fail
					if err != nil || !strings.HasPrefix(after["out/c"], "c 0\nc 1\n") {
						t.Fatalf("a sound disk: %v", err)
					}
					break
				}
				if err == nil {
					if links && maps.Equal(before, after) {
						t.Errorf("operation %d failed without an error", n)
					}
					continue // a link that failed is made up for by a rename
				}
				failures++
				if !maps.Equal(before, after) {
					t.Errorf("links %v, fresh %v: operation %d failed and left %v, not %v", links, fresh, n, keys(after), keys(before))
				}
				if !strings.Contains(err.Error(), "disk is full") || !errors.Is(err, syscall.ENOSPC) || strings.Contains(err.Error(), ".part") {
					t.Errorf("operation %d: the error is %q", n, err)
				}
			}
			if failures < 15 { // three creates, at least six writes, three syncs, three renames
				t.Errorf("only %d operations could fail", failures)
			}
		}
	}
}

func keys(m map[string]string) []string {
	var all []string
	for k, v := range m {
		all = append(all, fmt.Sprintf("%s (%d)", k, len(v)))
	}
	return all
}

func TestBatchRefusals(t *testing.T) {
	top := t.TempDir()
	file := filepath.Join(top, "file")
	os.WriteFile(file, nil, 0o666)
	folder := filepath.Join(top, "folder")
	os.MkdirAll(filepath.Join(folder, "c"), 0o777)
	for _, c := range []struct{ dir, want string }{
		{file, "is a file, not a folder"},
		{filepath.Join(file, "under"), "not a directory"},
		{filepath.Join(top, "no", "such"), "there is no folder"},
		{folder, "in the way"},
	} {
		before := contents(t, top)
		err := three(OS{}, c.dir)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", c.dir, err, c.want)
		}
		if after := contents(t, top); !maps.Equal(before, after) {
			t.Errorf("%s: left %v", c.dir, keys(after))
		}
	}
}

// TestBatchDiscard takes a batch back before and after Commit.
func TestBatchDiscard(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	b, err := NewBatch(OS{}, dir)
	if err != nil {
		t.Fatal(err)
	}
	hello := func(w io.Writer) error { _, err := io.WriteString(w, "hello"); return err }
	b.Add("a", hello)
	b.Discard()
	if _, err := os.Stat(dir); err == nil {
		t.Error("a discarded batch left its folder")
	}
	if b.Commit() == nil {
		t.Error("a discarded batch was committed")
	}
	b, _ = NewBatch(OS{}, dir)
	b.Add("a", hello)
	if err := b.Commit(); err != nil {
		t.Fatal(err)
	}
	b.Discard()
	if got := contents(t, dir)["a"]; got != "hello" {
		t.Errorf("Discard after Commit left %q", got)
	}
}
