package report

import (
	"errors"
	"io"

	"plyroom/export/kitlist"
	"plyroom/export/markup"
	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/kit"
)

// Input is what a report is made from.
type Input struct {
	// Record is the plan.
	Record *nest.Record
	// Ledger is the record measured; nil has Write measure it.
	Ledger *account.Ledger
	// Kits are the record's kits; nil has Write build them.
	Kits []kit.Kit
	// Knife is what the knife does on each layout, by its ID; layouts without
	// it show none.
	Knife map[string]Knife
	// Schedule is the timetable of the kits given; nil where none is known.
	Schedule *kitlist.Schedule
}

// Knife is the knife's work on one layout.
type Knife struct {
	// Minutes is the estimated time of cutting.
	Minutes float64
	// Down and Up are the ways of the lowered and of the raised knife, mm.
	Down, Up float64
	// Cuts counts them.
	Cuts int
}

// Write writes the report of one record as one HTML file.
func Write(w io.Writer, in Input) error {
	p, err := newPage(in)
	if err != nil {
		return err
	}
	m := markup.New(w)
	p.write(m)
	return m.Flush()
}

func newPage(in Input) (*page, error) {
	if in.Record == nil {
		return nil, errors.New("no record to report")
	}
	p := &page{rec: in.Record, ledger: in.Ledger, kits: in.Kits, knife: in.Knife, schedule: in.Schedule}
	var err error
	if p.ledger == nil {
		if p.ledger, err = account.Measure(in.Record); err != nil {
			return nil, err
		}
	}
	if p.kits == nil {
		if p.kits, err = kit.Build(in.Record); err != nil {
			return nil, err
		}
	}
	if err := p.index(); err != nil {
		return nil, err
	}
	p.draw()
	return p, nil
}
