package build

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
)

// ErrChanged is why a file was not replaced: somebody else has changed it.
var ErrChanged = errors.New("the file was changed meanwhile")

// Replace puts next in the place of what a file held when it was read, old, in
// one step. The file keeps its mode, where the disk knows of modes. If it is not
// as it was any more it stays as it is, and the error is ErrChanged.
func Replace(disk Disk, path string, old, next []byte) error {
	info, err := disk.Stat(path)
	if err != nil {
		return plain("rewriting "+path, err)
	}
	b, err := NewBatch(keeper{disk, info.Mode().Perm()}, filepath.Dir(path))
	if err != nil {
		return err
	}
	defer b.Discard()
	if err := b.Add(filepath.Base(path), func(w io.Writer) error { _, err := w.Write(next); return err }); err != nil {
		return err
	}
	if err := unchanged(disk, path, old); err != nil {
		return fmt.Errorf("rewriting %s: %w", path, err)
	}
	return b.Commit()
}

// unchanged says with ErrChanged that a file holds something else than old.
func unchanged(disk Disk, path string, old []byte) error {
	f, err := disk.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	now, err := io.ReadAll(io.LimitReader(f, int64(len(old))+1))
	if err != nil {
		return err
	}
	if !bytes.Equal(now, old) {
		return ErrChanged
	}
	return nil
}

// keeper is a disk whose new files get a mode.
type keeper struct {
	Disk
	mode fs.FileMode
}

// Create makes a new file of the mode.
func (k keeper) Create(name string) (File, error) {
	f, err := k.Disk.Create(name)
	if err != nil {
		return nil, err
	}
	if m, ok := f.(interface{ Chmod(fs.FileMode) error }); ok {
		if err := m.Chmod(k.mode); err != nil {
			f.Close()
			k.Disk.Remove(name)
			return nil, err
		}
	}
	return f, nil
}
