package pack

import (
	"errors"
	"fmt"
	"math"
)

// ErrBadProblem is wrapped by every error about the problem itself.
var ErrBadProblem = errors.New("bad packing problem")

// TooWideError says that a piece fits across the strip in no allowed
// orientation.
type TooWideError struct {
	// Piece is the index in Problem.Pieces.
	Piece int
	// Needs is the smallest width of strip the piece needs, Width the one
	// there is.
	Needs, Width float64
}

func (e *TooWideError) Error() string {
	return fmt.Sprintf("piece %d needs a strip %.6g wide, the strip is %.6g wide", e.Piece, e.Needs, e.Width)
}

// Unwrap makes errors.Is(err, ErrBadProblem) hold.
func (e *TooWideError) Unwrap() error { return ErrBadProblem }

func bad(format string, args ...any) error {
	return fmt.Errorf("%w: %w", ErrBadProblem, fmt.Errorf(format, args...))
}

// check covers everything but the outlines, which NewShape checks.
func (p *Problem) check() error {
	if p == nil {
		return bad("no problem given")
	}
	if !(p.Width > 0) || math.IsInf(p.Width, 0) {
		return bad("width %v is not a positive number", p.Width)
	}
	if !(p.MaxLength >= 0) || math.IsInf(p.MaxLength, 0) {
		return bad("greatest length %v is not a number from 0", p.MaxLength)
	}
	if !(p.Gap >= 0) || math.IsInf(p.Gap, 0) {
		return bad("gap %v is not a number from 0", p.Gap)
	}
	for i, o := range p.Obstacles {
		for _, v := range []float64{o.Min[0], o.Min[1], o.Max[0], o.Max[1]} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return bad("obstacle %d has a coordinate that is not a finite number", i)
			}
		}
	}
	for i := range p.Pieces {
		c := &p.Pieces[i]
		if c.Count < 0 {
			return bad("piece %d is to be laid %d times", i, c.Count)
		}
		for k, o := range c.Orientations {
			if math.IsNaN(o.From) || math.IsNaN(o.To) || math.IsInf(o.From, 0) || math.IsInf(o.To, 0) || o.To < o.From {
				return bad("piece %d, orientation %d: from %v to %v degrees is no interval", i, k, o.From, o.To)
			}
		}
	}
	return nil
}
