package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"plyroom/export"
	"plyroom/export/report"
	"plyroom/export/run"
	"plyroom/export/summary"
	"plyroom/export/table"
	"plyroom/export/toolpath"
	"plyroom/nest"
	"plyroom/nest/compare"
)

func (a *app) compareCommand() *cobra.Command {
	var (
		page   string
		anyway bool
		asJSON bool
		asCSV  bool
		moves  bool
		knife  string
	)
	cmd := &cobra.Command{
		Use:   "compare OUT OUT…",
		Short: "Set two or more finished runs side by side, as a table and a page of pictures",
		Args:  cobra.MinimumNArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			var runs []compare.Run
			for _, path := range args {
				rec, err := readRun(path)
				if err != nil {
					return err
				}
				runs = append(runs, compare.Run{Name: path, Record: rec})
			}
			c, err := compare.Runs(runs, anyway)
			var different *compare.DifferentPlies
			if errors.As(err, &different) {
				return cannot(fmt.Errorf("%w\nto compare them all the same: --anyway", err))
			}
			if err != nil {
				return cannot(err)
			}
			machine, err := run.ReadMachine(knife)
			if err != nil {
				return err
			}
			for i, r := range runs {
				if c.Work[i].Knife, err = knifeWork(r.Record, machine); err != nil {
					return cannot(fmt.Errorf("%s: %w", r.Name, err))
				}
			}
			for _, d := range c.Doubts() {
				fmt.Fprintf(a.stderr, "doubt: %s\n", d)
			}
			if page != "" {
				var sides []report.Run
				said := report.Said{Terms: c.Terms}
				for _, advice := range c.Advise() {
					said.Advice = append(said.Advice, advice.Words)
				}
				for i, r := range runs {
					sides = append(sides, report.Run{Name: r.Name, Record: r.Record, Ledger: c.Ledgers[i], Work: &c.Work[i], Moved: c.Moved[i]})
				}
				if err := export.WriteFile(page, func(w io.Writer) error { return report.WriteComparison(w, said, sides...) }); err != nil {
					return cannot(err)
				}
			}
			switch {
			case asJSON:
				return a.compareJSON(c)
			case asCSV:
				return summary.Compare(c).WriteCSV(a.stdout)
			}
			if err := summary.Compare(c).WriteText(a.stdout, 0); err != nil {
				return cannot(err)
			}
			fmt.Fprintln(a.stdout)
			if err := summary.Work(c).WriteText(a.stdout, 0); err != nil {
				return cannot(err)
			}
			for _, t := range c.Terms {
				fmt.Fprintln(a.stdout, table.Plain(t))
			}
			for i, n := range c.Moved[1:] {
				fmt.Fprintf(a.stdout, "%s lays %d of %d plies elsewhere than %s\n", runs[i+1].Name, n, c.Total[i+1].Plies, runs[0].Name)
				if moves && n > 0 {
					if err := summary.Moves(c, i+1).WriteText(a.stdout, 0); err != nil {
						return cannot(err)
					}
				}
			}
			for _, advice := range c.Advise() {
				fmt.Fprintln(a.stdout, table.Plain(advice.Words))
			}
			return nil
		},
	}
	f := cmd.Flags()
	f.StringVarP(&page, "output", "o", "", "page to write, with the layouts side by side")
	f.BoolVar(&anyway, "anyway", false, "compare runs that lay different plies")
	f.BoolVar(&moves, "moves", false, "list every ply that lies elsewhere than in the first run")
	f.StringVar(&knife, "machine", "", "profile of the cutter the knife's work is planned for")
	f.BoolVar(&asJSON, "json", false, "print the result as JSON")
	f.BoolVar(&asCSV, "csv", false, "print the table as CSV")
	cmd.MarkFlagsMutuallyExclusive("json", "csv")
	return cmd
}

func (a *app) compareJSON(c *compare.Comparison) error {
	type figures struct {
		compare.Figures
		NetYield  float64 `json:"net_yield"`
		OverBound float64 `json:"over_bound"`
	}
	type side struct {
		Run     string    `json:"run"`
		Fabrics []figures `json:"fabrics"`
		Total   figures   `json:"total"`
		Moved   int       `json:"moved"`
		// Moves are in words, one per ply.
		Moves   []string     `json:"moves,omitempty"`
		Work    compare.Work `json:"work"`
		Minutes float64      `json:"minutes"`
	}
	with := func(f compare.Figures) figures { return figures{f, f.Books.NetYield(), f.Gap()} }
	var out []side
	for i, r := range c.Runs {
		one := side{Run: r.Name, Fabrics: []figures{}, Total: with(c.Total[i]), Moved: c.Moved[i], Work: c.Work[i], Minutes: c.Work[i].Total()}
		for _, m := range c.Moves[i] {
			one.Moves = append(one.Moves, m.String())
		}
		for _, row := range c.Rows {
			if row.Figures[i] != nil {
				one.Fabrics = append(one.Fabrics, with(*row.Figures[i]))
			}
		}
		out = append(out, one)
	}
	enc := json.NewEncoder(a.stdout)
	enc.SetIndent("", " ")
	return enc.Encode(map[string]any{"runs": out, "differences": c.Differences, "terms": c.Terms, "advice": c.Advise()})
}

// knifeWork plans the knife's work on every layout of a run.
func knifeWork(rec *nest.Record, m toolpath.Machine) (*compare.Knife, error) {
	paths, err := run.Paths(rec, m)
	if err != nil {
		return nil, err
	}
	k := &compare.Knife{}
	for i := range rec.Layouts {
		s := paths[rec.Layouts[i].ID].Stats
		k.Minutes += s.Minutes
		k.Down += s.CutLength / 1e3
		k.Up += s.Travel / 1e3
		k.Lifts += s.Lifts
	}
	return k, nil
}
