package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"plyroom/export"
	"plyroom/export/summary"
	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/nest/recut"
	"plyroom/nest/trace"
)

func (a *app) traceCommand() *cobra.Command {
	var (
		lot, roll, unit string
		plies, asJSON   bool
	)
	cmd := &cobra.Command{
		Use:   "trace OUT… (--lot LOT | --roll ROLL | --unit PART/N)",
		Short: "Follow a lot or roll to the kits it went into, or a unit back to its rolls and lots",
		Long: `Follow fabric through finished runs: from a lot or roll to every kit and unit
that holds a piece of it, or from a unit back to its rolls and lots. Answers
come from the records alone.

Exit status 1: none of the runs knows the lot, roll or unit.`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			q := trace.Question{Lot: lot, Roll: roll}
			what := fmt.Sprintf("lot %q", lot)
			switch {
			case roll != "":
				what = fmt.Sprintf("roll %q", roll)
			case unit != "":
				var err error
				if q.Part, q.Unit, err = trace.ParseUnit(unit); err != nil {
					return fmt.Errorf("--unit: %w", err)
				}
				what = fmt.Sprintf("unit %q", unit)
			case lot == "":
				return fmt.Errorf("name what to follow: --lot, --roll or --unit may not be empty")
			}
			type answer struct {
				Run string `json:"run"`
				*trace.Trail
			}
			answers := []answer{}
			var known []string
			for _, path := range args {
				t, err := readTrail(path)
				if err != nil {
					return err
				}
				for _, name := range t.Known(q) {
					if !slices.Contains(known, name) {
						known = append(known, name)
					}
				}
				if found := t.Select(q); len(found.Pieces)+len(found.Missing) > 0 {
					answers = append(answers, answer{path, found})
				}
			}
			if asJSON {
				enc := json.NewEncoder(a.stdout)
				enc.SetEscapeHTML(false)
				enc.SetIndent("", " ")
				if err := enc.Encode(map[string]any{"asked": what, "runs": answers}); err != nil {
					return cannot(err)
				}
			}
			if len(answers) == 0 {
				return cannot(fmt.Errorf("%s is in none of the runs; they hold %s", what, several(known)))
			}
			for _, t := range answers {
				if asJSON {
					break
				}
				fmt.Fprintf(a.stdout, "%s in %s (%s): %d %s\n", what, t.Run, sayRevision(t.Job, t.Revision), len(t.Pieces), plural(len(t.Pieces), "ply", "plies"))
				tb := summary.Link(t.Trail)
				if plies {
					tb = summary.Trace(t.Trail)
				}
				if err := tb.WriteText(a.stdout, 0); err != nil {
					return cannot(err)
				}
				if n := len(t.Missing); n > 0 {
					fmt.Fprintf(a.stdout, "%d %s demanded but not cut\n", n, plural(n, "ply was", "plies were"))
				}
			}
			return nil
		},
	}
	f := cmd.Flags()
	f.StringVar(&lot, "lot", "", "lot to follow to kits and units")
	f.StringVar(&roll, "roll", "", "roll to follow to kits and units")
	f.StringVar(&unit, "unit", "", `unit to follow back to rolls and lots, such as "Upper shell/1"`)
	f.BoolVar(&plies, "plies", false, "list every ply")
	f.BoolVar(&asJSON, "json", false, "print the result as JSON")
	cmd.MarkFlagsMutuallyExclusive("lot", "roll", "unit")
	cmd.MarkFlagsOneRequired("lot", "roll", "unit")
	return cmd
}

// readTrail follows the pieces of a finished run.
func readTrail(path string) (*trace.Trail, error) {
	rec, err := export.ReadRecord(path)
	if err != nil {
		return nil, err
	}
	again, _, err := cutAgain(path)
	if err != nil {
		return nil, cannot(err)
	}
	kits, err := kit.BuildWith(rec, kit.Settings{Again: again})
	if err != nil {
		return nil, cannot(fmt.Errorf("%s: %w", path, err))
	}
	t := trace.Of(rec, kits)
	for i := range t.Pieces {
		t.Pieces[i].Position = 0 // depends on the cutter
	}
	return t, nil
}

// cutAgain reads the recuts beside a run's record: the plans of those that
// count, and all of them.
func cutAgain(path string) ([]*nest.Record, []recut.Entry, error) {
	home := filepath.Dir(recordPath(path))
	entries, err := recut.List(home)
	if err != nil {
		return nil, nil, err
	}
	again, err := recut.Records(home, entries)
	return again, entries, err
}

func sayRevision(job, revision string) string {
	if strings.TrimSpace(revision) == "" {
		return job
	}
	return job + ", revision " + revision
}

// several lists the first few names.
func several(names []string) string {
	const shown = 12
	var out []string
	for _, n := range names[:min(len(names), shown)] {
		out = append(out, fmt.Sprintf("%q", n))
	}
	switch {
	case len(names) == 0:
		return "none"
	case len(names) > shown:
		return strings.Join(out, ", ") + fmt.Sprintf(" and %d more", len(names)-shown)
	}
	return strings.Join(out, ", ")
}
