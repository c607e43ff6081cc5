package drawing

import (
	"fmt"
	"math"
)

// remedy says where to state an option: in the job's entry of the drawing, or
// as a flag of the command where no job lists it. value is as a job writes it,
// flagged as a command line does.
func (s *sheet) remedy(key, value, flag, flagged string) string {
	if s.opt.Entry == "" {
		return "--" + flag + " " + flagged
	}
	return fmt.Sprintf("outlines: {file: %s, %s: %s}", s.opt.Entry, key, value)
}

// unitRemedy says how to state the unit of a drawing that does not.
func (s *sheet) unitRemedy() string {
	words := "state it: " + s.remedy("units", "mm", "units", "mm") + ", or cm, m, in, ft"
	if s.opt.Entry != "" {
		words += `; "units" of the job itself is for lengths in the job file`
	}
	return words
}

// pxRemedy says how to state the size of a drawing in px.
func (s *sheet) pxRemedy() string {
	return "state how many px it counts per inch: " + s.remedy("px_per_inch", "96", "px-per-inch", "96") + ", or 90, 72; or the unit it was drawn in: " +
		s.remedy("units", "mm", "units", "mm") + ", or cm, m, in, ft"
}

// gapRemedy says how to have a gap (mm) closed.
func (s *sheet) gapRemedy(gap float64) string {
	n := fmt.Sprintf("%g", math.Floor(gap)+1)
	return "draw it closed, or have gaps up to so much closed: " + s.remedy("close_gaps", n+" mm", "close-gaps", n)
}

// given names where the unit came from that overrides the drawing's.
func (s *sheet) given() string {
	if s.opt.Entry == "" {
		return "--units"
	}
	return "the job"
}
