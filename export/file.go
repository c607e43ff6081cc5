package export

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// WriteFile writes one file whole or not at all: beside the target first, then
// in its place. An existing file is replaced.
func WriteFile(path string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*")
	if err != nil {
		return fmt.Errorf("cannot write %s: %w", path, plainCause(err))
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	w := bufio.NewWriter(f)
	if err := write(w); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	if err := w.Flush(); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, plainCause(err))
	}
	if err := f.Chmod(0o644); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, plainCause(err))
	}
	if err := f.Sync(); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, plainCause(err))
	}
	if err := f.Close(); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, plainCause(err))
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, plainCause(err))
	}
	return nil
}
