package recut

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"plyroom/nest"
)

// FileName is the file in a recut's folder that tells all of it.
const FileName = "recut.json"

// Name is what the recut is called in cut files and kit lists: R1.
func (e *Entry) Name() string { return fmt.Sprintf("R%d", e.Number) }

// Key names the ply that was cut again.
func (e *Entry) Key() nest.Key {
	return nest.Key{Part: e.Part, Unit: e.Unit, Ply: e.Ply, Copy: e.Copy}
}

// Counting lists the recuts that count: of each ply, the last.
func Counting(entries []Entry) []*Entry {
	last := map[nest.Key]int{}
	for i := range entries {
		last[entries[i].Key()] = i
	}
	var out []*Entry
	for i := range entries {
		if last[entries[i].Key()] == i {
			out = append(out, &entries[i])
		}
	}
	return out
}

// Records are the plans of the recuts that count, for kit.Settings.Again: of
// each ply, the last. The folder of the run is where its recuts are listed; the
// recut's own folder is looked into where the list does not hold the plan.
func Records(run string, entries []Entry) ([]*nest.Record, error) {
	var out []*nest.Record
	for _, e := range Counting(entries) {
		rec, err := e.plan(run)
		if err != nil {
			return nil, err
		}
		if len(rec.Layouts) != 1 || len(rec.Layouts[0].Placed) != 1 || rec.Layouts[0].Placed[0].Key() != e.Key() || rec.Layouts[0].ID != e.Name() {
			return nil, fmt.Errorf("%s: its plan does not hold ply %s alone, in layout %s", file(run, e.Number), e.Key(), e.Name())
		}
		out = append(out, rec)
	}
	return out, nil
}

// plan is the record of one recut.
func (e *Entry) plan(run string) (*nest.Record, error) {
	if e.Record != nil {
		return e.Record, nil
	}
	path := filepath.Join(e.Folder, FileName)
	if !filepath.IsAbs(path) {
		path = filepath.Join(run, path)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("recut %s: how its ply lies is not known: %w", e.Name(), err)
	}
	var own Entry
	if err := json.Unmarshal(data, &own); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if own.Number != e.Number || own.Key() != e.Key() || own.Run != e.Run || own.Record == nil {
		return nil, fmt.Errorf("%s: this is not recut %s of %s", path, e.Name(), e.Key())
	}
	return own.Record, nil
}
