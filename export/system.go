package export

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"syscall"
)

// A system is the part of the operating system a Folder writes through, so
// that a test can let it fail.
type system interface {
	Mkdir(path string) error
	Create(path string) (rawFile, error)
	Rename(from, to string) error
	SyncDir(path string) error
}

// A rawFile is an unbuffered file.
type rawFile interface {
	io.WriteCloser
	Sync() error
}

type osSystem struct{}

func (osSystem) Mkdir(path string) error { return os.Mkdir(path, 0o777) }

func (osSystem) Create(path string) (rawFile, error) {
	return os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
}

func (osSystem) Rename(from, to string) error { return os.Rename(from, to) }

// SyncDir makes the entries of a folder durable. Systems that cannot do that
// for a folder say so with EINVAL or the like; there it is left to them.
func (osSystem) SyncDir(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	defer d.Close()
	err = d.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, fs.ErrPermission) || errors.Is(err, errors.ErrUnsupported) {
		return nil
	}
	return err
}

// plainCause strips the hidden path from an error of the operating system: the
// message around it names the file as the user knows it.
func plainCause(err error) error {
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err
	}
	var le *os.LinkError
	if errors.As(err, &le) {
		return le.Err
	}
	return err
}
