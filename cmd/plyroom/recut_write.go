package main

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"plyroom/export"
	"plyroom/export/run"
	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/nest/recut"
	"plyroom/nest/remnant"
	"plyroom/nest/trace"
)

// recutFolder begins the folder of a recut and names it.
func recutFolder(home, out string, e *recut.Entry) (*export.Folder, string, error) {
	if out == "" {
		e.Folder = fmt.Sprintf("recut-%d", e.Number)
		folder, err := export.NewPart(home, e.Folder)
		return folder, filepath.Join(home, e.Folder), err
	}
	e.Folder = out
	folder, err := export.NewFolder(out, false)
	return folder, out, err
}

// writeRecut fills the folder and returns the bytes of its recut.json. Bag,
// order and pieces on the tag are those of the ply's kit in the run.
func writeRecut(folder *export.Folder, rec *nest.Record, e *recut.Entry, f *recutFlags) ([]byte, error) {
	paths, err := run.Paths(e.Record, f.options.Machine)
	if err != nil {
		return nil, err
	}
	kits, err := kit.BuildWith(rec, kit.Settings{Order: run.CutOrder(paths), Again: []*nest.Record{e.Record}})
	if err != nil {
		return nil, err
	}
	data, err := json.MarshalIndent(e, "", " ")
	if err != nil {
		return nil, err
	}
	data = append(data, '\n')
	if err := run.WriteCuts(folder, "cut/", run.InOrder(e.Record, paths), f.options.Formats); err != nil {
		return nil, err
	}
	for _, doc := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{"label.pdf", func(w io.Writer) error {
			_, err := run.WriteTag(w, kits, e.Key(), f.options.Paper)
			return err
		}},
		{"trace.json", trace.Of(e.Record, kits).Only(e.Key()).Write},
		{recut.FileName, func(w io.Writer) error { _, err := w.Write(data); return err }},
	} {
		w, err := folder.Create(doc.name)
		if err != nil {
			return nil, err
		}
		if err := errors.Join(doc.write(w), w.Close()); err != nil {
			return nil, fmt.Errorf("%s: %w", doc.name, err)
		}
	}
	return data, nil
}

// commitRecut puts the folder in place and marks the remnant used.
func commitRecut(held *borrowed, folder *export.Folder, e *recut.Entry, data []byte, target string) error {
	if held.session == nil {
		return folder.Commit()
	}
	var ids []string
	if e.Remnant != nil {
		ids = append(ids, e.Remnant.ID)
	}
	sum := sha256.Sum256(data)
	return held.settle(folder, ids, remnant.End{Job: e.Job, Digest: hex.EncodeToString(sum[:]), Date: e.Date}, filepath.Join(target, recut.FileName))
}

// keepRest puts what is left of a remnant back into the store.
func (a *app) keepRest(store *remnant.Store, rec *nest.Record, e *recut.Entry, data []byte, f *recutFlags) error {
	set := remnant.OfferSettings{MinLength: cmp.Or(f.minLength, rec.Rules.MinRemnant), MinWidth: f.minWidth}
	var taken []nest.Polygon
	for _, p := range e.Record.Layouts[0].Placed {
		taken = append(taken, nest.Polygon{Outline: p.Outline, Holes: p.Holes})
	}
	pieces := remnant.Left(*e.Remnant, taken, set)
	if len(pieces) == 0 {
		return nil
	}
	sum := sha256.Sum256(bytes.Join([][]byte{[]byte(e.Remnant.ID), data}, nil))
	kept, err := store.Keep(hex.EncodeToString(sum[:]), pieces)
	if err != nil {
		return cannot(err)
	}
	for _, r := range kept {
		length, width := r.Size()
		fmt.Fprintf(a.stdout, "%s: %.0f × %.0f mm are left of it; write the name on the piece\n", r.ID, length, width)
	}
	return nil
}

func placeWords(p recut.Place) string {
	switch {
	case p.Roll == "":
		return "fresh " + p.Fabric
	case p.Kind == recut.FromRollEnd:
		return "the end of roll " + p.Roll
	case p.Kind == recut.FromRemnant:
		return "remnant " + p.Roll
	}
	return fmt.Sprintf("roll %s at %.3f m", p.Roll, p.RollFrom/1e3)
}
