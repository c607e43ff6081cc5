package export

import (
	"fmt"
	"os"
	"path/filepath"

	"plyroom/nest"
)

// ReadRecord reads the record of a finished run, given the run's folder or the
// record file itself. Errors name the file and say what to do.
func ReadRecord(path string) (*nest.Record, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("%w; give the output folder of plyroom nest", err)
	}
	if info.IsDir() {
		path = filepath.Join(path, RecordName)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("%w; give the output folder of plyroom nest", err)
	}
	defer f.Close()
	rec, err := nest.Read(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return rec, nil
}
