package report

import (
	"errors"
	"io"

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
	p := &page{rec: in.Record, ledger: in.Ledger, kits: in.Kits}
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
