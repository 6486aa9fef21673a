package build

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// Batch is a set of files that appear together or not at all. Each is written
// under a temporary name beside its place, and synced; Commit renames them all.
// What goes wrong on the way, a full disk, a name that is taken by a folder,
// leaves the folder as it was. Only a machine that dies in the middle of Commit
// can leave some of the files new and some old, each of them whole.
type Batch struct {
	disk  Disk
	dir   string
	made  bool // the folder is ours
	files []batched
	err   error
}

// batched is one file of a batch.
type batched struct {
	name, temp string
	old        string // another name for what is replaced, "" for nothing
	moved      bool   // what is replaced has no name but old
	placed     bool
}

// Writable says whether NewBatch could start in a folder, as far as can be said
// without writing: the folder is there, or the one above it is.
func Writable(disk Disk, dir string) error {
	dir = filepath.Clean(dir)
	info, err := disk.Stat(dir)
	switch {
	case err == nil && !info.IsDir():
		return fmt.Errorf("%s is a file, not a folder", dir)
	case err == nil:
		return nil
	case !errors.Is(err, fs.ErrNotExist):
		return plain("folder "+dir, err)
	}
	above := filepath.Dir(dir)
	if _, err := disk.Stat(above); errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no folder %s to make %s in", above, filepath.Base(dir))
	}
	return nil
}

// NewBatch starts a batch of files for a folder. The folder is made if it is
// missing; the folder above it has to exist.
func NewBatch(disk Disk, dir string) (*Batch, error) {
	if err := Writable(disk, dir); err != nil {
		return nil, err
	}
	b := &Batch{disk: disk, dir: filepath.Clean(dir)}
	if _, err := disk.Stat(b.dir); err == nil {
		return b, nil
	}
	if err := disk.Mkdir(b.dir); err != nil {
		return nil, plain("making folder "+b.dir, err)
	}
	b.made = true
	return b, nil
}

// Path returns where a file of that name will be.
func (b *Batch) Path(name string) string { return filepath.Join(b.dir, name) }

// Add writes a file under a temporary name. A Batch that has failed stays
// failed: Commit returns the first error.
func (b *Batch) Add(name string, write func(io.Writer) error) error {
	if b.err != nil {
		return b.err
	}
	b.err = b.add(name, write)
	return b.err
}

func (b *Batch) add(name string, write func(io.Writer) error) error {
	path := b.Path(name)
	if info, err := b.disk.Stat(path); err == nil && !info.Mode().IsRegular() {
		return fmt.Errorf("%s is in the way: it is no plain file", path)
	}
	temp, f, err := b.create(name)
	if err != nil {
		return plain("writing "+path, err)
	}
	b.files = append(b.files, batched{name: name, temp: temp})
	buf := bufio.NewWriterSize(f, 1<<16)
	err = write(buf)
	if err == nil {
		err = buf.Flush()
	}
	if err == nil {
		err = f.Sync()
	}
	if closed := f.Close(); err == nil {
		err = closed
	}
	return plain("writing "+path, err)
}

// create makes a temporary file of a name that nobody has.
func (b *Batch) create(name string) (string, File, error) {
	const tries = 1000
	var err error
	for i := range tries {
		temp := b.Path(fmt.Sprintf(".%s.%d-%d.part", name, os.Getpid(), i))
		var f File
		if f, err = b.disk.Create(temp); err == nil {
			return temp, f, nil
		}
		if !errors.Is(err, fs.ErrExist) {
			break
		}
	}
	return "", nil, err
}

// Commit puts all files in their places, replacing older ones, or fails and
// puts everything back.
func (b *Batch) Commit() error {
	if b.err == nil {
		b.err = b.place()
	}
	if b.err != nil {
		b.Discard()
		return b.err
	}
	for _, f := range b.files {
		if f.old != "" {
			b.disk.Remove(f.old) // what it leaves is only a second name
		}
	}
	b.files, b.made = nil, false
	return nil
}

func (b *Batch) place() error {
	for i := range b.files {
		f := &b.files[i]
		path := b.Path(f.name)
		if _, err := b.disk.Stat(path); err == nil {
			old := f.temp + ".old"
			if b.disk.Link(path, old) != nil { // no links there, as on memory sticks
				if err := b.disk.Rename(path, old); err != nil {
					return plain("replacing "+path, err)
				}
				f.moved = true
			}
			f.old = old
		}
		if err := b.disk.Rename(f.temp, path); err != nil {
			return plain("writing "+path, err)
		}
		f.placed = true
	}
	return nil
}

// Discard takes away all that the batch has written and puts back what it had
// replaced. After Commit it does nothing.
func (b *Batch) Discard() {
	for _, f := range b.files {
		switch path := b.Path(f.name); {
		case f.old != "" && (f.placed || f.moved):
			b.disk.Rename(f.old, path)
		case f.old != "":
			b.disk.Remove(f.old)
		case f.placed:
			b.disk.Remove(path)
		}
		if !f.placed {
			b.disk.Remove(f.temp)
		}
	}
	if b.made {
		b.disk.Remove(b.dir) // fails, as it should, if others have put files there
	}
	b.files, b.made = nil, false
	if b.err == nil {
		b.err = errors.New("the batch was discarded")
	}
}

// plain says what went wrong with a file in words that need no manual. It
// returns nil for nil.
func plain(doing string, err error) error {
	if err == nil {
		return nil
	}
	// The names of temporary files say nothing to anybody.
	if at := (*fs.PathError)(nil); errors.As(err, &at) {
		err = at.Err
	} else if at := (*os.LinkError)(nil); errors.As(err, &at) {
		err = at.Err
	}
	switch {
	case errors.Is(err, syscall.ENOSPC):
		return fmt.Errorf("%s: the disk is full (%w)", doing, err)
	case errors.Is(err, syscall.EROFS), errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s: it may not be written to (%w)", doing, err)
	}
	return fmt.Errorf("%s: %w", doing, err)
}
