package run

import (
	"io"

	"plyroom/export"
	"plyroom/export/report"
	"plyroom/export/summary"
	"plyroom/export/toolpath"
	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/kit"
	"plyroom/nest/trace"
)

// Options say what is written and for which machine and paper.
type Options struct {
	Formats []Format
	Machine toolpath.Machine
	Paper   Paper
	// Remark is told what is worth knowing but stops nothing; may be nil.
	Remark func(string)
}

// Write fills an output folder from a record.
func Write(dir *export.Folder, rec *nest.Record, o Options) error {
	paths, err := Paths(rec, o.Machine)
	if err != nil {
		return err
	}
	led, err := account.Measure(rec)
	if err != nil {
		return err
	}
	kits, err := kit.BuildWith(rec, kit.Settings{Order: CutOrder(paths)})
	if err != nil {
		return err
	}
	if err := create(dir, export.RecordName, rec.Write); err != nil {
		return err
	}
	if err := WriteCuts(dir, "cut/", InOrder(rec, paths), o.Formats); err != nil {
		return err
	}
	plan, err := NewSchedule(rec, kits, paths, nil)
	if err != nil {
		return err
	}
	for _, words := range plan.Warnings() {
		if o.Remark != nil {
			o.Remark(words)
		}
	}
	if err := WriteKits(dir, "kits/", rec, kits, plan, o.Paper); err != nil {
		return err
	}
	if err := create(dir, "labels.pdf", func(w io.Writer) error {
		remark, err := WriteLabels(w, kits, o.Paper)
		if remark != "" && o.Remark != nil {
			o.Remark("labels: " + remark)
		}
		return err
	}); err != nil {
		return err
	}
	if err := create(dir, "summary.csv", summary.Layouts(rec, led).WriteCSV); err != nil {
		return err
	}
	if err := WriteTrail(dir, trace.Of(rec, kits)); err != nil {
		return err
	}
	return create(dir, "report.html", func(w io.Writer) error {
		return report.Write(w, report.Input{Record: rec, Ledger: led, Kits: kits, Knife: knifeWork(paths), Schedule: plan})
	})
}

// knifeWork is what the knife does on each layout, for the report.
func knifeWork(paths map[string]*toolpath.Path) map[string]report.Knife {
	out := map[string]report.Knife{}
	for id, p := range paths {
		out[id] = report.Knife{Minutes: p.Stats.Minutes, Down: p.Stats.CutLength, Up: p.Stats.Travel, Cuts: p.Stats.Cuts}
	}
	return out
}

// WriteTrail writes where every piece came from and went to, as JSON and CSV.
func WriteTrail(dir folder, t *trace.Trail) error {
	if err := create(dir, "trace.json", t.Write); err != nil {
		return err
	}
	return create(dir, "trace.csv", summary.Trace(t).WriteCSV)
}
