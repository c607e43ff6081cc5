package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"plyroom/export"
	"plyroom/nest/remnant"
)

func (a *app) remnantsKeepCommand() *cobra.Command {
	var (
		set       remnant.OfferSettings
		day       string
		ends, dry bool
		asJSON    bool
	)
	cmd := &cobra.Command{
		Use:   "keep DIR OUT",
		Short: "Put what a finished run left over into the store, once for each run",
		Long: `Put what a finished run left over into the store, once for each run: the largest
rectangles between the plies of its layouts, and what is left of remnants. The
rest of a roll stays on its roll, unless --ends takes it as well.

--dry-run shows what would be kept.`,
		Args: cobra.ExactArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			var err error
			if set.Date, err = dayOf(day); err != nil {
				return err
			}
			rec, err := readRun(args[1])
			if err != nil {
				return err
			}
			if set.Run, err = remnant.Digest(recordPath(args[1])); err != nil {
				return err
			}
			offers, err := remnant.Offers(rec, set)
			if err != nil {
				return err
			}
			var pieces []remnant.Remnant
			for _, o := range offers {
				if !o.OnRoll || ends {
					pieces = append(pieces, o.Remnant)
				}
			}
			if !dry && len(pieces) > 0 {
				s, err := remnant.Create(args[0])
				if err != nil {
					return err
				}
				if pieces, err = s.Keep(set.Run, pieces); errors.Is(err, remnant.ErrKept) {
					return cannot(fmt.Errorf("%s: %w", args[1], err))
				} else if err != nil {
					return cannot(err)
				}
			}
			if asJSON {
				if pieces == nil {
					pieces = []remnant.Remnant{}
				}
				return a.printJSON(pieces)
			}
			return a.showKept(pieces, dry)
		},
	}
	f := cmd.Flags()
	f.Float64Var(&set.MinLength, "min-length", 0, "least length along the warp, mm (default: the job's min_remnant)")
	f.Float64Var(&set.MinWidth, "min-width", remnant.DefaultMinWidth, "least width, mm")
	f.BoolVar(&ends, "ends", false, "take the rests of rolls too; they are then off the rack")
	f.BoolVar(&dry, "dry-run", false, "only show the pieces")
	f.BoolVar(&asJSON, "json", false, "print the result as JSON")
	dateFlag(cmd, &day)
	return cmd
}

// recordPath is where the record of a run is, given its folder or the record.
func recordPath(out string) string {
	if strings.HasSuffix(out, ".json") {
		return out
	}
	return filepath.Join(out, export.RecordName)
}

func (a *app) showKept(pieces []remnant.Remnant, dry bool) error {
	if len(pieces) == 0 {
		fmt.Fprintln(a.stdout, "nothing is left over that is worth keeping")
		return nil
	}
	for _, r := range pieces {
		length, width := r.Size()
		id := r.ID
		if dry {
			id = "offered"
		}
		fmt.Fprintf(a.stdout, "%s: %s, %.0f × %.0f mm, from %s at x %.0f, y %.0f\n",
			id, r.Fabric, length, width, r.From.Layout, r.From.Corner[0], r.From.Corner[1])
	}
	if !dry {
		fmt.Fprintln(a.stdout, "write the names on the pieces")
	}
	return nil
}
