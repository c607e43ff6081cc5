package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"plyroom/export/run"
	"plyroom/export/toolpath"
	"plyroom/nest"
	"plyroom/nest/relay"
)

func (a *app) relayCommand() *cobra.Command {
	var (
		search searchFlags
		cut    cutFlags
		paper  paperFlags
		fresh  prepregFlags
		out    string
		job    string
		done   []string
		store  string
		force  bool
		asJSON bool
	)
	cmd := &cobra.Command{
		Use:   "relay OUT --job JOB.yaml --cut L1,L2:17 -o NEW",
		Short: "Keep what is cut of a finished run and lay the rest again",
		Long: `Keep what is cut of a finished run and lay the rest again: after a roll was
swapped, a width was measured narrower or a flaw was found half way.

--cut names the layouts that are cut; L2:17 is layout L2 up to ply 17 of its
cutting order. The job file says what the rolls are like now. A roll keeps its
length and its flaws are measured from the same end as before: what is cut from
it is taken off here. Its plies are those of the run, whatever the job says.`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			settings, err := search.settings()
			if err != nil {
				return err
			}
			opt, err := cut.options(&paper)
			if err != nil {
				return err
			}
			rec, err := readRun(args[0])
			if err != nil {
				return err
			}
			kept, notes, err := keptLayouts(rec, done, opt.Machine)
			if err != nil {
				return err
			}
			j, err := a.readJob(job)
			if err != nil {
				return err
			}
			if err := fresh.apply(j); err != nil {
				return err
			}
			folder, err := newFolder(out, force)
			if err != nil {
				return err
			}
			defer folder.Abort()
			held, err := borrow(store, j)
			if err != nil {
				return err
			}
			defer held.close()
			more, err := held.fill(cmd.Context(), rec, kept, j, &settings)
			if err != nil {
				return cannot(err)
			}
			rec.Notes = append(rec.Notes, notes...)
			bar := newProgress(a.stderr)
			again, err := relay.Again(cmd.Context(), rec, append(kept, more...), j, settings, bar.update)
			bar.done()
			if err != nil {
				return layFailure(err)
			}
			if err := run.Write(folder, again, opt); err != nil {
				return cannot(err)
			}
			if err := held.commit(folder, again, out); err != nil {
				return cannot(err)
			}
			a.told(held, again, store, out)
			if !asJSON {
				for i := range again.Layouts {
					what := "to cut"
					if i < len(kept) {
						what = "cut already, was " + kept[i].ID
					}
					fmt.Fprintf(a.stdout, "%s: %s\n", again.Layouts[i].ID, what)
				}
			}
			return a.summary(again, out, asJSON)
		},
	}
	search.register(cmd)
	cut.register(cmd)
	paper.register(cmd)
	fresh.register(cmd)
	remnantsFlag(cmd, &store)
	f := cmd.Flags()
	f.StringVarP(&out, "output", "o", "", "folder to write; it appears whole or not at all")
	f.StringVar(&job, "job", "", "job file with the rolls as they are now")
	f.StringSliceVar(&done, "cut", nil, "layouts that are cut, such as L1,L2:17")
	f.BoolVar(&force, "force", false, "replace an earlier run in the folder")
	f.BoolVar(&asJSON, "json", false, "print the result as JSON")
	_ = cmd.MarkFlagRequired("output")
	_ = cmd.MarkFlagRequired("job")
	return cmd
}

// keptLayouts finds what is cut of a run, and words it for the documents.
func keptLayouts(rec *nest.Record, done []string, m toolpath.Machine) (kept []nest.Layout, notes []string, err error) {
	upTo := map[string]int{} // 0: the whole layout
	for _, word := range done {
		id, number, part := strings.Cut(strings.TrimSpace(word), ":")
		if !slices.ContainsFunc(rec.Layouts, func(l nest.Layout) bool { return l.ID == id }) {
			var known []string
			for _, l := range rec.Layouts {
				known = append(known, l.ID)
			}
			return nil, nil, fmt.Errorf("--cut: the run has no layout %q; it has %s", id, strings.Join(known, ", "))
		}
		if _, twice := upTo[id]; twice {
			return nil, nil, fmt.Errorf("--cut: layout %s is named twice", id)
		}
		upTo[id] = 0
		if part {
			if upTo[id], err = strconv.Atoi(number); err != nil || upTo[id] < 1 {
				return nil, nil, fmt.Errorf("--cut %s: after the colon stands the number of the last ply cut, from 1", word)
			}
		}
	}
	for i := range rec.Layouts {
		l := rec.Layouts[i]
		last, named := upTo[l.ID]
		if !named {
			continue
		}
		note := fmt.Sprintf("L%d was cut as %s of an earlier plan", len(kept)+1, l.ID)
		if last > 0 {
			p, err := toolpath.Plan(rec, &rec.Layouts[i], m)
			if err != nil {
				return nil, nil, err
			}
			number := make([]int, len(l.Placed))
			for n, y := range p.Plies {
				for _, k := range y.Placed {
					number[k] = n + 1
				}
			}
			if most := len(p.Plies); last > most {
				return nil, nil, fmt.Errorf("--cut %s:%d: the layout has %d plies in its cutting order", l.ID, last, most)
			}
			l = relay.Part(l, rec.Rules.EndAllowance, func(k int) bool { return number[k] <= last })
			note += fmt.Sprintf(", up to ply %d", last)
		}
		kept, notes = append(kept, l), append(notes, note)
	}
	return kept, notes, nil
}
