package recut

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"plyroom/nest"
	"plyroom/nest/remnant"
	"plyroom/shapes"
)

// Format is the version of the files this package writes.
const Format = 1

// Kinds of places a ply is cut from again.
const (
	FromRemnant = "remnant"
	FromRollEnd = "roll end"
	FromRoll    = "roll"
)

// An Entry tells of one ply that was cut again.
type Entry struct {
	Format int `json:"format"`
	// Number counts the recuts of a run from 1.
	Number   int    `json:"number"`
	Job      string `json:"job"`
	Revision string `json:"revision"`
	// Run is the digest of the record of the run whose ply was spoiled.
	Run  string `json:"run"`
	Part string `json:"part"`
	Unit int    `json:"unit"`
	Ply  string `json:"ply"`
	Copy int    `json:"copy"`
	// Why and Date are as the person who spoiled it says; may be empty.
	Why  string      `json:"why,omitempty"`
	Date shapes.Date `json:"date,omitempty"`
	// Spoiled is where the ply had been cut and Cut where it is cut now.
	Spoiled Place `json:"spoiled"`
	Cut     Place `json:"cut"`
	// LaidDeg is the warp's angle as laid, of the ply cut now.
	LaidDeg float64 `json:"laid_deg"`
	// Folder is the name of the folder with its cut file and tag.
	Folder string `json:"folder"`
	// Remnant is the remnant it is cut from; nil for a roll.
	Remnant *remnant.Remnant `json:"remnant,omitempty"`
	// Record holds the ply alone, as a plan of one layout.
	Record *nest.Record `json:"record,omitempty"`
}

// A Place is a stretch of fabric.
type Place struct {
	// Kind is one of the From constants; empty for a layout of the run.
	Kind   string `json:"kind,omitempty"`
	Layout string `json:"layout"`
	Fabric string `json:"fabric"`
	Roll   string `json:"roll"`
	Lot    string `json:"lot"`
	// RollFrom is where the layout begins on the roll and Length how long it
	// is, mm.
	RollFrom float64 `json:"roll_from"`
	Length   float64 `json:"length"`
}

// ListName is the folder inside a run's folder that lists its recuts.
const ListName = "recuts"

func file(run string, number int) string {
	return filepath.Join(run, ListName, fmt.Sprintf("%04d.json", number))
}

// maxEntry bounds what is read of one file.
const maxEntry = 64 << 20

// List reads the recuts of a run, given its folder, in their order.
func List(run string) ([]Entry, error) {
	var out []Entry
	for {
		path := file(run, len(out)+1)
		info, err := os.Stat(path)
		if errors.Is(err, fs.ErrNotExist) {
			return out, nil
		}
		if err != nil {
			return nil, err
		}
		if info.Size() > maxEntry {
			return nil, fmt.Errorf("%s: %d bytes are too many", path, info.Size())
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		var e Entry
		if err := json.Unmarshal(data, &e); err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		if e.Format != Format || e.Number != len(out)+1 {
			return nil, fmt.Errorf("%s: format %d, number %d; format %d, number %d are meant", path, e.Format, e.Number, Format, len(out)+1)
		}
		out = append(out, e)
	}
}

// ErrMeanwhile says that another recut of the run was made meanwhile: the place
// that was found may be taken.
var ErrMeanwhile = errors.New("another ply of the run is cut again just now; try once more")

// Enter lists a recut, under the number that it has. The list says so before
// the recut's folder is there: ended in between, a stretch of fabric is counted
// as cut that is not, and never the other way round.
func Enter(run string, e Entry) error {
	if err := os.Mkdir(filepath.Join(run, ListName), 0o777); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	data, err := json.MarshalIndent(e, "", " ")
	if err != nil {
		return err
	}
	f, err := os.CreateTemp(filepath.Join(run, ListName), ".*.tmp")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	_, err = f.Write(append(data, '\n'))
	err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close())
	if err != nil {
		return err
	}
	err = os.Link(f.Name(), file(run, e.Number))
	if errors.Is(err, fs.ErrExist) {
		return ErrMeanwhile
	}
	if err == nil {
		return nil
	}
	// No second names on this file system: take the number, then fill it.
	mark, err := os.OpenFile(file(run, e.Number), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return ErrMeanwhile
	}
	if err != nil {
		return err
	}
	mark.Close()
	return os.Rename(f.Name(), file(run, e.Number))
}

// Strike takes back the last recut of the list, whose folder could not be
// written.
func Strike(run string, number int) error { return os.Remove(file(run, number)) }
