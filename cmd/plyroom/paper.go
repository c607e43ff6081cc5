package main

import (
	"github.com/spf13/cobra"

	"plyroom/export/run"
)

// paperFlags say what documents and labels are printed on. Every command that
// writes them takes all of these.
type paperFlags struct {
	size, grid, roll, order string
}

func (p *paperFlags) register(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&p.size, "paper", "a4", "sheet of printed documents: a4 or letter")
	f.StringVar(&p.order, "labels-order", "lay-up", "order labels are printed in: lay-up, pile (last order first) or off-table")
	f.StringVar(&p.grid, "label-grid", "", "labels on a sheet, mm: columns×rows and width×height, then margins and distances, as 3x8,64x34,7x12.5,66x34")
	f.StringVar(&p.roll, "label-roll", "", "one label a page for a continuous roll, mm: width×height, as 100x50")
	cmd.MarkFlagsMutuallyExclusive("label-grid", "label-roll")
}

// paper reads the flags; without any of them labels stand 24 to a sheet of A4.
func (p *paperFlags) paper() (run.Paper, error) {
	paper, err := run.Papers(p.size)
	if err != nil {
		return paper, err
	}
	return paper.WithLabels(p.grid, p.roll, p.order)
}
