package build

import (
	"io"
	"io/fs"
	"os"
)

// Disk is what writing needs of a file system. OS is the real one; tests bring
// one that is full.
type Disk interface {
	Open(name string) (fs.File, error)
	Create(name string) (File, error) // fails with fs.ErrExist where something is
	Stat(name string) (fs.FileInfo, error)
	Mkdir(name string) error // one level
	Link(from, to string) error
	Rename(from, to string) error
	Remove(name string) error
}

// File is a new file.
type File interface {
	io.WriteCloser
	Sync() error
}

// OS is the file system of the machine.
type OS struct{}

var _ Disk = OS{}

// Open opens a file for reading.
func (OS) Open(name string) (fs.File, error) { return os.Open(name) }

// Create makes a new file.
func (OS) Create(name string) (File, error) {
	return os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
}

// Stat describes what is there, following links.
func (OS) Stat(name string) (fs.FileInfo, error) { return os.Stat(name) }

// Mkdir makes a folder.
func (OS) Mkdir(name string) error { return os.Mkdir(name, 0o777) }

// Link gives a file a second name.
func (OS) Link(from, to string) error { return os.Link(from, to) }

// Rename renames a file, replacing what had the name.
func (OS) Rename(from, to string) error { return os.Rename(from, to) }

// Remove takes away a file or an empty folder.
func (OS) Remove(name string) error { return os.Remove(name) }
