package main

import (
	"encoding/json"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"plyroom/export"
	"plyroom/nest/recut"
)

func (a *app) checkCommand() *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "check OUT",
		Short: "Check every rule of a finished run again, from layouts.json alone",
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			if is, err := a.checkRecut(args[0], asJSON); is {
				return err
			}
			rec, err := export.ReadRecord(args[0])
			if err != nil {
				return err
			}
			found, worst, err := findings(rec)
			if err != nil {
				return cannot(err)
			}
			home := filepath.Dir(recordPath(args[0]))
			recuts, err := recut.List(home)
			if err != nil {
				return cannot(err)
			}
			if asJSON {
				enc := json.NewEncoder(a.stdout)
				enc.SetIndent("", " ")
				if err := enc.Encode(map[string]any{"clean": len(found) == 0, "findings": append([]string{}, found...),
					"plies": len(rec.Demand), "layouts": len(rec.Layouts), "imbalance_mm2": worst, "recuts": len(recuts)}); err != nil {
					return cannot(err)
				}
			}
			if len(found) > 0 {
				if !asJSON {
					for _, f := range found {
						fmt.Fprintln(a.stdout, f)
					}
				}
				return cannot(fmt.Errorf("%d %s in %s; do not cut from it", len(found), plural(len(found), "rule is broken", "rules are broken"), args[0]))
			}
			if !asJSON {
				fmt.Fprintf(a.stdout, "%s: %d plies in %d layouts keep every rule; the books balance to %.3f mm²\n",
					args[0], len(rec.Demand), len(rec.Layouts), worst)
				if n := len(recuts); n > 0 {
					fmt.Fprintf(a.stdout, "%d %s beside the record, not checked here; plyroom check %s checks the last\n",
						n, plural(n, "recut lies", "recuts lie"), recutPath(home, &recuts[n-1]))
				}
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the result as JSON")
	return cmd
}
