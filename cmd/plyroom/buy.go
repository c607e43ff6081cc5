package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"plyroom/export/table"
	"plyroom/nest/buy"
	"plyroom/nest/plan"
)

func (a *app) buyCommand() *cobra.Command {
	var (
		search    searchFlags
		units     int
		allowance float64
		asJSON    bool
		asCSV     bool
	)
	cmd := &cobra.Command{
		Use:   "buy JOB.yaml",
		Short: "Say how many metres and rolls a number of units needs, and what they cost",
		Long: `Lay the job for a number of units on as much fabric as it needs, and set metres,
rolls and cost against the rolls the job lists as stock.

--units replaces the units of every part; without it the job's own are taken.`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			settings, err := search.settings()
			if err != nil {
				return err
			}
			if units < 0 || cmd.Flags().Changed("units") && units == 0 {
				return fmt.Errorf("--units %d: give a whole number above 0", units)
			}
			if allowance < 0 || allowance > 100 {
				return fmt.Errorf("--allowance %g: give percent from 0 to 100", allowance)
			}
			job, err := a.readJob(args[0])
			if err != nil {
				return err
			}
			if units > 0 {
				for _, p := range job.Parts {
					p.Units = units
				}
			}
			settings.IgnoreStock = true
			bar := newProgress(a.stderr)
			rec, err := plan.Lay(cmd.Context(), job, settings, bar.update)
			bar.done()
			if err != nil {
				return layFailure(err)
			}
			list, err := buy.Make(job, rec, allowance/100)
			if err != nil {
				return cannot(err)
			}
			if asJSON {
				enc := json.NewEncoder(a.stdout)
				enc.SetIndent("", " ")
				return enc.Encode(list)
			}
			t := buyTable(list)
			if asCSV {
				return t.WriteCSV(a.stdout)
			}
			return a.showBuy(t, list)
		},
	}
	search.register(cmd)
	f := cmd.Flags()
	f.IntVar(&units, "units", 0, "how many of every part")
	f.Float64Var(&allowance, "allowance", 0, "percent added for flaws and recuts; shown apart from the need")
	f.BoolVar(&asJSON, "json", false, "print the result as JSON")
	f.BoolVar(&asCSV, "csv", false, "print the table as CSV")
	cmd.MarkFlagsMutuallyExclusive("json", "csv")
	return cmd
}

func buyTable(l *buy.List) *table.Table {
	cost := func(v float64, known bool) table.Cell {
		if !known {
			return table.Blank()
		}
		return table.Number(v, 2)
	}
	t := &table.Table{Columns: []table.Column{
		{Key: "fabric"}, {Key: "plies", Right: true},
		{Key: "need_m", Title: "need m", Right: true}, {Key: "allowance_m", Title: "allowance m", Right: true},
		{Key: "need_m2", Title: "m²", Right: true}, {Key: "need_kg", Title: "kg", Right: true},
		{Key: "net_yield_pct", Title: "net yield %", Right: true},
		{Key: "stock_m", Title: "stock m", Right: true}, {Key: "short_m", Title: "short m", Right: true},
		{Key: "rolls", Title: "buy rolls", Right: true}, {Key: "buy_m", Title: "buy m", Right: true},
		{Key: "left_m", Title: "left m", Right: true},
		{Key: "need_cost", Title: "cost of need", Right: true}, {Key: "buy_cost", Title: "cost to buy", Right: true},
	}}
	for _, f := range l.Fabrics {
		mass, rolls := table.Blank(), table.Blank()
		if f.Mass > 0 {
			mass = table.Number(f.Mass, 2)
		}
		if f.Rolls > 0 || f.Short == 0 {
			rolls = table.Int(f.Rolls)
		}
		t.Add(table.Text(f.Fabric), table.Int(f.Plies), table.Number(f.Need, 2), table.Number(f.Allowance, 2),
			table.Number(f.Area, 2), mass, table.Number(f.NetYield*100, 1), table.Number(f.Stock, 2), table.Number(f.Short, 2),
			rolls, table.Number(f.Buy, 2), table.Number(f.Left, 2), cost(f.NeedCost, f.Priced), cost(f.BuyCost, f.Priced))
	}
	return t
}

func (a *app) showBuy(t *table.Table, l *buy.List) error {
	var parts []string
	for _, p := range l.Units {
		parts = append(parts, fmt.Sprintf("%d × %s", p.Units, p.Part))
	}
	fmt.Fprintf(a.stdout, "%s\n", table.Plain(strings.Join(parts, ", ")))
	if err := t.WriteText(a.stdout, 0); err != nil {
		return cannot(err)
	}
	if l.Resin > 0 {
		name := l.ResinName
		if name == "" {
			name = "resin"
		}
		fmt.Fprintf(a.stdout, "%s: %.1f kg in the laminate, %.1f kg to mix (estimate; the supplier's data sheet governs)", table.Plain(name), l.Resin, l.ResinToMix)
		if l.ResinPriced {
			fmt.Fprintf(a.stdout, ", %.2f %s", l.ResinCost, table.Plain(l.Currency))
		}
		fmt.Fprintln(a.stdout)
	}
	missing := ""
	if !l.AllPriced {
		missing = "; some prices are missing from the job, so the sums are not whole"
	}
	fmt.Fprintf(a.stdout, "total: need %.2f %s, to buy %.2f %s%s\n", l.NeedCost, table.Plain(l.Currency), l.BuyCost, table.Plain(l.Currency), missing)
	return nil
}
