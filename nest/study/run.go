package study

import (
	"context"
	"errors"
	"fmt"

	"plyroom/nest"
	"plyroom/shapes"
)

// A Layer lays one job with the study's effort and a seed. It returns
// *Impossible where the plies cannot be laid, which is a result like any
// other.
type Layer func(ctx context.Context, j *shapes.Job, effort int, seed uint64) (*nest.Record, error)

// Impossible says why plies cannot be laid.
type Impossible struct{ Reason string }

// Error gives the reason.
func (e *Impossible) Error() string { return e.Reason }

// Progress is what is known while a study runs.
type Progress struct {
	// Done of Of nests of this shard are done, Kept of them before it began.
	Done, Of, Kept int
	// Nest is the one being laid; nil at the end. Failed counts those that were
	// left without result.
	Nest   *Nest
	Failed int
}

// Choice says which nests are laid.
type Choice struct {
	// Shard is the share of them; the zero Shard is all.
	Shard Shard
	// IDs, where there are any, are the only ones.
	IDs []string
	// Again lays nests anew that have a result.
	Again bool
}

// Run lays the chosen nests that have no result yet and keeps each result as
// soon as it is there. Where the context ends, what is done is kept, the nest
// being laid is not, and the context's error is returned. A nest that fails by
// a fault of the program is left without result; the others go on, and the
// faults are returned at the end.
func (s *Store) Run(ctx context.Context, which Choice, lay Layer, progress func(Progress)) error {
	chosen := map[string]bool{}
	for _, id := range which.IDs {
		if _, ok := s.plan.Find(id); !ok {
			return fmt.Errorf("the study has no nest %s", id)
		}
		chosen[id] = true
	}
	var todo []*Nest
	p := Progress{}
	for i := range s.plan.Nests {
		n := &s.plan.Nests[i]
		if len(chosen) > 0 && !chosen[n.ID] || !which.Shard.Has(n.Number) {
			continue
		}
		p.Of++
		if !which.Again {
			o, err := s.Get(n.ID)
			if err != nil {
				return err
			}
			if o != nil {
				p.Kept++
				continue
			}
		}
		todo = append(todo, n)
	}
	p.Done = p.Kept
	var faults []error
	for _, n := range todo {
		p.Nest = n
		if progress != nil {
			progress(p)
		}
		o, err := s.one(ctx, n, lay)
		if ctx.Err() != nil {
			return ctx.Err()
		}
		switch {
		case err != nil:
			p.Failed++
			faults = append(faults, fmt.Errorf("nest %d (%s; %s): %w", n.Number, n.ID, n.Words, err))
		default:
			if err := s.Put(o); err != nil {
				return err
			}
			p.Done++
		}
	}
	p.Nest = nil
	if progress != nil {
		progress(p)
	}
	return errors.Join(faults...)
}

func (s *Store) one(ctx context.Context, n *Nest, lay Layer) (*Outcome, error) {
	rec, err := lay(ctx, n.Job(), s.plan.Spec.Effort, n.Seed)
	var no *Impossible
	if errors.As(err, &no) {
		return &Outcome{Format: Format, Study: s.plan.Spec.Fingerprint, ID: n.ID, Cannot: no.Reason}, nil
	}
	if err != nil {
		return nil, err
	}
	return s.plan.Measure(n, rec)
}
