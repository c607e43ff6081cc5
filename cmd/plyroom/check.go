package main

import (
	"encoding/json"
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"plyroom/nest/account"
	"plyroom/nest/verify"
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
			rec, err := readRun(args[0])
			if err != nil {
				return err
			}
			findings := []string{}
			for _, v := range verify.Check(rec) {
				findings = append(findings, v.String())
			}
			worst := 0.0
			if len(findings) == 0 {
				led, err := account.Measure(rec)
				if err != nil {
					return cannot(err)
				}
				for _, l := range led.Layers {
					off := l.Books.Imbalance()
					worst = math.Max(worst, math.Abs(off))
					if math.Abs(off) > 1 {
						findings = append(findings, fmt.Sprintf("books, %s: the classes differ from the fabric drawn by %.2f mm²", l.Layout.ID, off))
					}
				}
			}
			if asJSON {
				enc := json.NewEncoder(a.stdout)
				enc.SetIndent("", " ")
				if err := enc.Encode(map[string]any{"clean": len(findings) == 0, "findings": findings,
					"plies": len(rec.Demand), "layouts": len(rec.Layouts), "imbalance_mm2": worst}); err != nil {
					return cannot(err)
				}
			}
			if len(findings) > 0 {
				if !asJSON {
					for _, f := range findings {
						fmt.Fprintln(a.stdout, f)
					}
				}
				return cannot(fmt.Errorf("%d %s in %s; do not cut from it", len(findings), plural(len(findings), "rule is broken", "rules are broken"), args[0]))
			}
			if !asJSON {
				fmt.Fprintf(a.stdout, "%s: %d plies in %d layouts keep every rule; the books balance to %.3f mm²\n",
					args[0], len(rec.Demand), len(rec.Layouts), worst)
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the result as JSON")
	return cmd
}
