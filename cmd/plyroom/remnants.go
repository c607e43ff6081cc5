package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"plyroom/export/table"
	"plyroom/nest/remnant"
	"plyroom/shapes"
)

func (a *app) remnantsCommand() *cobra.Command {
	var date string
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "remnants DIR",
		Short: "List the remnants in a folder; add, keep, release and discard them",
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			today, err := dayOf(date)
			if err != nil {
				return err
			}
			s, err := remnant.Open(args[0])
			if err != nil {
				return err
			}
			list, err := s.List()
			if err != nil {
				return err
			}
			if asJSON {
				return a.remnantsJSON(list)
			}
			return a.showRemnants(list, today)
		},
	}
	dateFlag(cmd, &date)
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the result as JSON")
	cmd.AddCommand(a.remnantsAddCommand(), a.remnantsKeepCommand(), a.remnantsDiscardCommand(), a.remnantsReleaseCommand())
	return cmd
}

// dateFlag is the day something is done; the only clock there is.
func dateFlag(cmd *cobra.Command, date *string) {
	cmd.Flags().StringVar(date, "date", "", "the day this is done, such as 2027-03-01 (default today)")
}

func dayOf(text string) (shapes.Date, error) {
	if text == "" {
		return shapes.Date(time.Now().Format(time.DateOnly)), nil
	}
	d, err := shapes.ParseDate(text)
	if err != nil {
		return "", fmt.Errorf("--date: %w", err)
	}
	return d, nil
}

func (a *app) showRemnants(list []remnant.Entry, today shapes.Date) error {
	t := &table.Table{Columns: []table.Column{
		{Key: "remnant"}, {Key: "state"}, {Key: "fabric"}, {Key: "lot"}, {Key: "size", Title: "size mm", Right: true},
		{Key: "area", Title: "area m²", Right: true}, {Key: "face"}, {Key: "age", Title: "age days", Right: true}, {Key: "from"},
	}}
	for _, e := range list {
		length, width := e.Size()
		size := fmt.Sprintf("%.0f × %.0f", length, width)
		if !e.Rectangular() {
			size += " shaped"
		}
		state := string(e.State)
		switch {
		case e.State == remnant.Reserved && e.Stale:
			state = "free (its run has ended)"
		case e.Holder != "":
			state += ", " + e.Holder
		case e.State == remnant.Used && e.End != nil && e.End.Job != "":
			state += ", " + e.End.Job
		}
		t.Add(table.Text(e.ID), table.Text(state), table.Text(e.Fabric), table.Text(e.Lot), table.Text(size),
			table.Number(e.Area()/1e6, 3), table.Text(e.Face), age(e.Cut, today), table.Text(cameFrom(e.Remnant)))
	}
	if err := t.WriteText(a.stdout, 0); err != nil {
		return cannot(err)
	}
	return nil
}

func age(cut, today shapes.Date) table.Cell {
	from, err := time.Parse(time.DateOnly, string(cut))
	if err != nil {
		return table.Blank()
	}
	to, err := time.Parse(time.DateOnly, string(today))
	if err != nil {
		return table.Blank()
	}
	return table.Int(int(to.Sub(from).Hours() / 24))
}

func cameFrom(r remnant.Remnant) string {
	var words []string
	if r.Roll != "" {
		words = append(words, "roll "+r.Roll)
	}
	if r.From != nil {
		words = append(words, strings.TrimSpace(r.From.Job+" "+r.From.Revision)+", "+r.From.Layout)
	}
	if r.Note != "" {
		words = append(words, r.Note)
	}
	return strings.Join(words, "; ")
}

func (a *app) remnantsJSON(list []remnant.Entry) error {
	type line struct {
		remnant.Remnant
		State  remnant.State `json:"state"`
		Holder string        `json:"holder,omitempty"`
		Stale  bool          `json:"stale,omitempty"`
		End    *remnant.End  `json:"end,omitempty"`
		Area   float64       `json:"area_mm2"`
	}
	out := []line{}
	for _, e := range list {
		out = append(out, line{e.Remnant, e.State, e.Holder, e.Stale, e.End, e.Area()})
	}
	return a.printJSON(out)
}

func (a *app) printJSON(v any) error {
	enc := json.NewEncoder(a.stdout)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(v); err != nil {
		return cannot(err)
	}
	return nil
}

func (a *app) remnantsDiscardCommand() *cobra.Command {
	var day, why string
	cmd := &cobra.Command{
		Use:   "discard DIR ID…",
		Short: "Say that remnants were thrown away",
		Args:  cobra.MinimumNArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			date, err := dayOf(day)
			if err != nil {
				return err
			}
			return a.eachRemnant(args, "discarded", func(s *remnant.Store, id string) error { return s.Discard(id, date, why) })
		},
	}
	cmd.Flags().StringVar(&why, "why", "", "a remark")
	dateFlag(cmd, &day)
	return cmd
}

func (a *app) remnantsReleaseCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "release DIR ID…",
		Short: "Free remnants that are in doubt, or held by a run that is no more",
		Args:  cobra.MinimumNArgs(2),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.eachRemnant(args, "free", (*remnant.Store).Release)
		},
	}
}

func (a *app) eachRemnant(args []string, becomes string, do func(*remnant.Store, string) error) error {
	s, err := remnant.Open(args[0])
	if err != nil {
		return err
	}
	for _, id := range args[1:] {
		if err := do(s, id); err != nil {
			return cannot(err)
		}
		fmt.Fprintf(a.stdout, "%s is %s\n", id, becomes)
	}
	return nil
}
