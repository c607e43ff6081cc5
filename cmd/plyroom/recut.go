package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"plyroom/export/run"
	"plyroom/nest"
	"plyroom/nest/pack"
	"plyroom/nest/recut"
	"plyroom/nest/remnant"
	"plyroom/shapes"
)

// recutFlags are the options of plyroom recut.
type recutFlags struct {
	cut                            cutFlags
	paper                          paperFlags
	ply, store, out, job, why, day string
	effort                         int
	minLength, minWidth            float64
	set                            pack.Settings
	options                        run.Options
	date                           shapes.Date
}

func (a *app) recutCommand() *cobra.Command {
	var f recutFlags
	cmd := &cobra.Command{
		Use:   `recut OUT --ply "Upper shell/1/U02"`,
		Short: "Cut one spoiled ply again from a remnant, a roll end or fresh fabric",
		Long: `Cut one spoiled ply of a finished run again. Its place is looked for in the
remnants, smallest first, then in roll ends too short to keep, then on what is
left of the rolls, then on rolls not begun. The ply is named by part, unit and
ply, and copy where there are several: "Upper shell/1/U02/2".

Its cut file, its tag and recut.json, which tells what replaced what, go into a
folder of their own, by default OUT/recut-N; OUT/recuts lists all of them.`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			var err error
			if f.options, err = f.cut.options(&f.paper); err != nil {
				return err
			}
			if f.date, err = dayOf(f.day); err != nil {
				return err
			}
			if f.effort < 1 {
				return fmt.Errorf("--effort %d: give a whole number above 0", f.effort)
			}
			f.set = pack.Settings{Effort: f.effort, Seed: 1}
			return a.recut(cmd, args[0], &f)
		},
	}
	f.cut.register(cmd)
	f.paper.register(cmd)
	remnantsFlag(cmd, &f.store)
	dateFlag(cmd, &f.day)
	fl := cmd.Flags()
	fl.StringVar(&f.ply, "ply", "", "the spoiled ply: part/unit/ply, and /copy where there are several")
	fl.StringVarP(&f.out, "output", "o", "", "folder to write (default OUT/recut-N)")
	fl.StringVar(&f.job, "job", "", "job file that lists rolls the run did not have")
	fl.StringVar(&f.why, "why", "", "what happened to the ply")
	fl.IntVar(&f.effort, "effort", 2, "how much work goes into a short piece of fabric")
	fl.Float64Var(&f.minLength, "min-length", 0, "least length of what is left of a remnant and kept again, mm (default: the job's min_remnant)")
	fl.Float64Var(&f.minWidth, "min-width", remnant.DefaultMinWidth, "its least width, mm")
	_ = cmd.MarkFlagRequired("ply")
	return cmd
}

func (a *app) recut(cmd *cobra.Command, out string, f *recutFlags) error {
	rec, err := readRun(out)
	if err != nil {
		return err
	}
	key, err := findPly(rec, f.ply)
	if err != nil {
		return err
	}
	home := filepath.Dir(recordPath(out))
	stock := recut.Stock{Day: f.date}
	if stock.Earlier, err = recut.List(home); err != nil {
		return cannot(err)
	}
	fabric := rec.DemandByKey()[key].Fabric
	if f.job != "" {
		if stock.Fresh, err = a.newRolls(rec, f.job, fabric); err != nil {
			return err
		}
	}
	held := &borrowed{}
	var store *remnant.Store
	if f.store != "" {
		if store, err = remnant.Open(f.store); err != nil {
			return err
		}
		held.session = store.Begin()
		defer held.close()
		if held.pieces, err = held.session.ReserveFree(func(r remnant.Remnant) bool { return r.Fabric == fabric }); err != nil {
			return cannot(err)
		}
		slices.SortStableFunc(held.pieces, func(p, q remnant.Remnant) int {
			return cmp.Or(cmp.Compare(p.Area(), q.Area()), cmp.Compare(p.ID, q.ID))
		})
		stock.Remnants = held.pieces
	}
	e, err := recut.Find(cmd.Context(), rec, key, stock, f.set)
	if err != nil {
		return cannot(err)
	}
	for i := len(stock.Earlier) - 1; i >= 0; i-- {
		if was := &stock.Earlier[i]; was.Key() == key {
			fmt.Fprintf(a.stderr, "%s was cut again before, as %s; from now on %s counts\n", key, was.Name(), e.Name())
			break
		}
	}
	e.Why, e.Date = f.why, f.date
	if e.Run, err = remnant.Digest(recordPath(out)); err != nil {
		return cannot(err)
	}
	folder, target, err := recutFolder(home, f.out, e)
	if err != nil {
		return err
	}
	defer folder.Abort()
	data, err := writeRecut(folder, rec, e, f)
	if err != nil {
		return cannot(err)
	}
	if err := recut.Enter(home, *e); err != nil {
		return cannot(err)
	}
	if err := commitRecut(held, folder, e, data, target); err != nil {
		_ = recut.Strike(home, e.Number)
		return cannot(err)
	}
	fmt.Fprintf(a.stdout, "%s is cut again from %s, %.0f mm of it, as %s\nwritten to %s\n", key, placeWords(e.Cut), e.Cut.Length, e.Cut.Layout, target)
	if e.Remnant != nil {
		return a.keepRest(store, rec, e, data, f)
	}
	return nil
}

// findPly finds the piece that a text names.
func findPly(rec *nest.Record, text string) (nest.Key, error) {
	var found []nest.Key
	var near []string
	if err := unitOf(rec, text); err != nil {
		return nest.Key{}, err
	}
	for _, d := range rec.Demand {
		name := fmt.Sprintf("%s/%d/%s", d.Part, d.Unit, d.Ply)
		if text == name || text == fmt.Sprintf("%s/%d", name, d.Copy) {
			found = append(found, d.Key())
		}
		if strings.HasPrefix(text, d.Part+"/") && d.Copy == 1 && d.Unit == 1 && len(near) < 12 {
			near = append(near, name)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(found) > 1:
		return nest.Key{}, fmt.Errorf("--ply %q: the unit has %d copies; add which one, as in %q", text, len(found), text+"/1")
	case len(near) > 0:
		return nest.Key{}, fmt.Errorf("--ply: the run has no piece %q; it has %s", text, strings.Join(near, ", "))
	}
	var parts []string
	for _, p := range rec.Parts {
		parts = append(parts, p.Part)
	}
	return nest.Key{}, fmt.Errorf("--ply: the run has no piece %q; name part/unit/ply, with the parts %s", text, strings.Join(parts, ", "))
}

// unitOf tells where a text names a unit that its part does not have.
func unitOf(rec *nest.Record, text string) error {
	for _, p := range rec.Parts {
		rest, is := strings.CutPrefix(text, p.Part+"/")
		if !is {
			continue
		}
		word, _, _ := strings.Cut(rest, "/")
		if n, err := strconv.Atoi(word); err == nil && (n < 1 || n > p.Units) {
			units := fmt.Sprintf("units 1 to %d", p.Units)
			if p.Units == 1 {
				units = "unit 1 alone"
			}
			return fmt.Errorf("--ply: the run has no piece %q; part %q has %s", text, p.Part, units)
		}
	}
	return nil
}

// newRolls lists rolls of a fabric that a job has and the run has not.
func (a *app) newRolls(rec *nest.Record, path, fabric string) ([]shapes.Roll, error) {
	job, err := a.readJob(path)
	if err != nil {
		return nil, err
	}
	var out []shapes.Roll
	for _, f := range job.Fabrics {
		if f.Name != fabric {
			continue
		}
		for _, r := range f.Rolls {
			if !slices.ContainsFunc(rec.Fabric(fabric).Rolls, func(o shapes.Roll) bool { return o.Name == r.Name }) {
				if r.Width == 0 {
					r.Width = f.Width
				}
				out = append(out, r)
			}
		}
	}
	return out, nil
}
