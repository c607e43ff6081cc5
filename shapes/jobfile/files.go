package jobfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// maxTableBytes bounds a ply table.
const maxTableBytes = 16 << 20

var errNotRegular = errors.New("it is no regular file")

// A fileSource gives the bytes of a file and the names beside it.
type fileSource interface {
	// read reads a regular file of at most limit bytes.
	read(path string, limit int64) ([]byte, error)
	// names lists the files of a folder; empty where it cannot be read.
	names(folder string) []string
}

// disk is the file system.
type disk struct{}

func (disk) read(path string, limit int64) ([]byte, error) {
	// Looking before opening keeps a pipe or a device from being waited for.
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errNotRegular
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err != nil {
		return nil, err
	}
	if int64(len(data)) > limit {
		return nil, fmt.Errorf("it is larger than %d MB", limit>>20)
	}
	return data, nil
}

func (disk) names(folder string) []string {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil
	}
	var out []string
	for _, e := range entries {
		if !e.IsDir() && len(out) < maxProblems {
			out = append(out, e.Name())
		}
	}
	return out
}

// why says in plain words why a file cannot be read, without repeating its
// path.
func why(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file"
	case errors.Is(err, fs.ErrPermission):
		return "permission is denied"
	}
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	return oneLine(err.Error())
}
