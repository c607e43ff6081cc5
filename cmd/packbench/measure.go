package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"time"

	"github.com/paulmach/orb"

	"plyroom/nest/pack"
	"plyroom/shapes/strip"
)

// A result is one line of the results file.
type result struct {
	Name       string      `json:"name"`
	Width      float64     `json:"strip_width"`
	Length     float64     `json:"length"`
	Density    float64     `json:"density"`
	Seconds    float64     `json:"seconds"`
	Bound      float64     `json:"bound"`
	Status     string      `json:"status"`
	Seed       uint64      `json:"seed"`
	Placements []placement `json:"placements"`
}

// A placement is one copy where it lies, with its outline there.
type placement struct {
	Item     int          `json:"item"`
	Copy     int          `json:"copy"`
	Rotation float64      `json:"rotation_deg"`
	X        float64      `json:"x"`
	Y        float64      `json:"y"`
	Outline  [][2]float64 `json:"outline"`
}

func problemOf(in *strip.Instance) *pack.Problem {
	p := &pack.Problem{Width: in.Width}
	for _, it := range in.Items {
		piece := pack.Piece{Exterior: it.Outline, Count: it.Quantity}
		for _, a := range it.Rotations {
			piece.Orientations = append(piece.Orientations, pack.Orientation{From: a, To: a})
		}
		p.Pieces = append(p.Pieces, piece)
	}
	return p
}

func measure(ctx context.Context, in *strip.Instance, o *options, stderr io.Writer) (*result, error) {
	p := problemOf(in)
	if o.effort > 0 {
		o.set.Effort = o.effort
	} else {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, o.time)
		defer cancel()
	}
	start := time.Now()
	var tell func(pack.Progress)
	if o.progress {
		tell = func(g pack.Progress) {
			fmt.Fprintf(stderr, "%s %7.2fs %-9s %6d %12.6g %.3f\n", in.Name, time.Since(start).Seconds(), g.Phase, g.Iteration, g.Length, 100*g.Density)
		}
	}
	got, err := pack.Solve(ctx, p, o.set, tell)
	if err != nil {
		return nil, err
	}
	r := &result{Name: in.Name, Width: in.Width, Seconds: time.Since(start).Seconds(),
		Bound: got.Bound, Status: got.Status.String(), Seed: o.set.Seed}
	area := 0.0
	for _, pl := range got.Placements {
		line := outline(in.Items[pl.Piece].Outline, pl)
		area += math.Abs(ringArea(line))
		out := placement{Item: pl.Piece, Copy: pl.Copy, Rotation: pl.Rotation, X: pl.X, Y: pl.Y}
		for _, v := range line {
			out.Outline = append(out.Outline, [2]float64(v))
			r.Length = math.Max(r.Length, v[0])
		}
		r.Placements = append(r.Placements, out)
	}
	r.Density = area / (in.Width * r.Length)
	return r, nil
}

// outline is the ring as placed.
func outline(ring orb.Ring, p pack.Placement) orb.Ring {
	sin, cos := turn(p.Rotation)
	out := make(orb.Ring, len(ring))
	for i, v := range ring {
		y := v[1]
		if p.Mirrored {
			y = -y
		}
		out[i] = orb.Point{cos*v[0] - sin*y + p.X, sin*v[0] + cos*y + p.Y}
	}
	return out
}

// turn is exact for quarter turns.
func turn(degrees float64) (sin, cos float64) {
	switch math.Mod(math.Mod(degrees, 360)+360, 360) {
	case 0:
		return 0, 1
	case 90:
		return 1, 0
	case 180:
		return 0, -1
	case 270:
		return -1, 0
	}
	return math.Sincos(degrees * math.Pi / 180)
}

func ringArea(r orb.Ring) float64 {
	sum := 0.0
	for i, a := range r {
		b := r[(i+1)%len(r)]
		sum += (a[0]-r[0][0])*(b[1]-r[0][1]) - (b[0]-r[0][0])*(a[1]-r[0][1])
	}
	return sum / 2
}
