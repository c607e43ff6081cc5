package main

import (
	"fmt"
	"math"

	"plyroom/export"
	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/verify"
)

// readRun reads the record of a finished run, given its folder or the record
// itself, and refuses one that breaks a rule: no document, cut file or figure
// comes from a plan that may not be cut.
func readRun(path string) (*nest.Record, error) {
	rec, err := export.ReadRecord(path)
	if err != nil {
		return nil, err
	}
	found, _, err := findings(rec)
	if err != nil {
		return nil, cannot(fmt.Errorf("%s: %w", path, err))
	}
	if len(found) > 0 {
		return nil, cannot(fmt.Errorf("%s breaks %d %s, the first: %s; plyroom check lists them, do not cut from it",
			path, len(found), plural(len(found), "rule", "rules"), found[0]))
	}
	return rec, nil
}

// findings lists every rule a record breaks, and by how much its books are off
// at most, mm².
func findings(rec *nest.Record) (found []string, imbalance float64, err error) {
	for _, v := range verify.Check(rec) {
		found = append(found, v.String())
	}
	if len(found) > 0 {
		return found, 0, nil
	}
	led, err := account.Measure(rec)
	if err != nil {
		return nil, 0, err
	}
	for _, l := range led.Layers {
		off := l.Books.Imbalance()
		imbalance = math.Max(imbalance, math.Abs(off))
		if math.Abs(off) > 1 {
			found = append(found, fmt.Sprintf("books, %s: the classes differ from the fabric drawn by %.2f mm²", l.Layout.ID, off))
		}
	}
	return found, imbalance, nil
}
