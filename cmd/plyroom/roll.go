package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"plyroom/export/rolllog"
	"plyroom/export/table"
)

func (a *app) rollCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "roll",
		Short: "Log prepreg rolls out of the freezer and back, and tell how long they were out",
		Long: `Log prepreg rolls out of the freezer and back, and tell how long they were out.

The log is a CSV file that only grows. nest --roll-log adds what it holds to the
out_used of the job's rolls. The supplier's data sheet says how long a roll may
be out.`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			return fmt.Errorf("say what is done: plyroom roll out, back or show")
		},
	}
	cmd.AddCommand(
		a.rollMove(rolllog.Out, "Log a roll out of the freezer"),
		a.rollMove(rolllog.Back, "Log a roll back into the freezer"),
		a.rollShow(),
	)
	return cmd
}

// whenFlag reads the time of a move or question; without it, now.
func whenFlag(text string) (time.Time, error) {
	if text == "" {
		now := time.Now()
		return time.Date(now.Year(), now.Month(), now.Day(), now.Hour(), now.Minute(), 0, 0, time.UTC), nil
	}
	t, err := time.Parse(rolllog.Layout, text)
	if err != nil {
		return t, fmt.Errorf("--at: %q is no time: write it as %s", text, rolllog.Layout)
	}
	return t, nil
}

func (a *app) rollMove(kind rolllog.Kind, about string) *cobra.Command {
	var log, at, note string
	cmd := &cobra.Command{
		Use:   string(kind) + " ROLL --log FILE",
		Short: about,
		Args:  cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			when, err := whenFlag(at)
			if err != nil {
				return err
			}
			if err := rolllog.Append(log, rolllog.Move{At: when, Roll: args[0], Kind: kind, Note: note}); err != nil {
				return cannot(err)
			}
			fmt.Fprintf(a.stdout, "%s: roll %q %s at %s\n", log, args[0], kind, when.Format(rolllog.Layout))
			return nil
		},
	}
	logFlags(cmd, &log, &at)
	cmd.Flags().StringVar(&note, "note", "", "a few words for the log")
	return cmd
}

func logFlags(cmd *cobra.Command, log, at *string) {
	cmd.Flags().StringVar(log, "log", "", "CSV file of the moves; begun where there is none")
	cmd.Flags().StringVar(at, "at", "", "time on the shop's clock, as "+rolllog.Layout+" (default: now)")
	_ = cmd.MarkFlagRequired("log")
}

func (a *app) rollShow() *cobra.Command {
	var log, at string
	cmd := &cobra.Command{
		Use:   "show --log FILE",
		Short: "Tell how long each roll was out",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			when, err := whenFlag(at)
			if err != nil {
				return err
			}
			l, err := rolllog.Load(log)
			if err != nil {
				return err
			}
			t := &table.Table{Columns: []table.Column{{Key: "roll"}, {Key: "out_h", Title: "out, h", Right: true}, {Key: "now", Title: "is"}}}
			for _, r := range l.Rolls() {
				minutes, out := l.OutTime(r, when)
				place := "in the freezer"
				if out {
					place = "out"
				}
				t.Add(table.Text(r), table.Number(minutes/60, 2), table.Text(place))
			}
			if err := t.WriteText(a.stdout, 0); err != nil {
				return cannot(err)
			}
			return nil
		},
	}
	logFlags(cmd, &log, &at)
	return cmd
}
