package plan

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
	sf "github.com/peterstace/simplefeatures/geom"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// TestRandomJobs plans jobs of random plies (curved in and out, with cut-outs,
// turned, divided, spread, kept together, around flaws) and has every layout
// judged twice: by package verify and by simplefeatures, a general-purpose
// geometry library that shares no code with plyroom. PLYROOM_JOBS sets how many;
// PLYROOM_FIRST_JOB which is the first.
func TestRandomJobs(t *testing.T) {
	n, first := 12, 0
	if testing.Short() {
		n = 4
	}
	if v, err := strconv.Atoi(os.Getenv("PLYROOM_JOBS")); err == nil {
		n = v
	}
	if v, err := strconv.Atoi(os.Getenv("PLYROOM_FIRST_JOB")); err == nil {
		first = v
	}
	laid, plies, pairs, refused := 0, 0, 0, 0
	for seed := first; seed < first+n; seed++ {
		j := randomJob(uint64(seed))
		rec, err := Lay(context.Background(), j, Settings{Effort: 2, Seed: uint64(seed), AllowShort: true}, nil)
		var no *CannotLay
		if errors.As(err, &no) {
			refused++
			continue
		}
		require.NoErrorf(t, err, "job %d", seed)
		require.Emptyf(t, verify.Check(rec), "job %d", seed)
		balances(t, rec)
		for i := range rec.Layouts {
			pairs += apartBySimplefeatures(t, seed, rec, &rec.Layouts[i])
			plies += len(rec.Layouts[i].Placed)
		}
		laid++
	}
	t.Logf("%d jobs laid, %d refused for want of room, %d plies, %d pairs near each other", laid, refused, plies, pairs)
	require.Greater(t, laid, n/2)
	require.Greater(t, pairs, n)
}

// apartBySimplefeatures requires that plies keep the gap and the usable area,
// and returns how many pairs came near each other.
func apartBySimplefeatures(t *testing.T, seed int, rec *nest.Record, l *nest.Layout) (pairs int) {
	gap := rec.Rules.Gap
	poly := make([]sf.Polygon, len(l.Placed))
	box := make([]orb.Bound, len(l.Placed))
	for i := range l.Placed {
		p := &l.Placed[i]
		var rings []sf.LineString
		for _, r := range append([]nest.Ring{p.Outline}, p.Holes...) {
			var xy []float64
			for _, v := range append(r[:len(r):len(r)], r[0]) {
				xy = append(xy, v[0], v[1])
			}
			rings = append(rings, sf.NewLineString(sf.NewSequence(xy, sf.DimXY)))
		}
		poly[i] = sf.NewPolygon(rings)
		require.NoErrorf(t, poly[i].Validate(), "job %d %s %s", seed, l.ID, p.Key())
		box[i] = orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
		for _, v := range p.Outline {
			box[i] = box[i].Extend(orb.Point{v[0], v[1]})
		}
		const rounding = 1e-5
		inside := box[i].Min[0] >= l.Usable[0][0]-rounding && box[i].Min[1] >= l.Usable[0][1]-rounding &&
			box[i].Max[0] <= l.Usable[1][0]+rounding && box[i].Max[1] <= l.Usable[1][1]+rounding
		require.Truef(t, inside, "job %d %s: %s leaves the usable area", seed, l.ID, p.Key())
		for _, f := range l.Flaws {
			require.Falsef(t, box[i].Max[0] > f.From+rounding && box[i].Min[0] < f.To-rounding, "job %d %s: %s lies on a flaw", seed, l.ID, p.Key())
		}
	}
	for i := range poly {
		for k := range poly[:i] {
			if l.Placed[i].Layer != l.Placed[k].Layer || !box[i].Pad(gap).Intersects(box[k]) {
				continue
			}
			pairs++
			if gap > 0 {
				d, ok := sf.Distance(poly[i].AsGeometry(), poly[k].AsGeometry())
				require.True(t, ok)
				require.GreaterOrEqualf(t, d, gap-1e-3, "job %d %s: %s and %s", seed, l.ID, l.Placed[i].Key(), l.Placed[k].Key())
				continue
			}
			both, err := sf.Intersection(poly[i].AsGeometry(), poly[k].AsGeometry())
			require.NoErrorf(t, err, "job %d %s", seed, l.ID)
			require.LessOrEqualf(t, both.Area(), 1e-3, "job %d %s: %s and %s share area, mm²", seed, l.ID, l.Placed[i].Key(), l.Placed[k].Key())
		}
	}
	return pairs
}

// randomJob invents a job that is the same for the same seed.
func randomJob(seed uint64) *shapes.Job {
	r := rand.New(rand.NewPCG(seed, 77))
	pick := func(p float64) bool { return r.Float64() < p }
	fabrics := []*shapes.Fabric{mat(), roving(),
		{Name: "UD 300", Construction: shapes.Unidirectional, Faces: shapes.DifferentFaces, ArealMass: 300,
			GlassContent: 0.55, FibreDensity: 2.56, Width: 1000, Selvedge: 10},
		{Name: "BX 450", Construction: shapes.Biaxial, Faces: shapes.SameFaces, ArealMass: 450,
			Layers:       []shapes.FabricLayer{{Angle: 45, Mass: 225}, {Angle: -45, Mass: 225}},
			GlassContent: 0.5, FibreDensity: 2.56, Width: 1270, Selvedge: 12}}
	for i, f := range fabrics {
		for k := range r.IntN(3) {
			roll := shapes.Roll{Name: fmt.Sprintf("R%d%d", i, k), Lot: fmt.Sprint("L", r.IntN(2)), Length: float64(1500 + r.IntN(20_000)), FaceDown: pick(0.2)}
			if pick(0.3) {
				from := float64(r.IntN(1200))
				roll.Flaws = []shapes.Span{{From: from, To: from + float64(10+r.IntN(90))}}
			}
			f.Rolls = append(f.Rolls, roll)
		}
	}
	j := stacked(1+r.IntN(2), []shapes.SpreadPolicy{"", shapes.SpreadNone, shapes.SpreadTime, shapes.SpreadFabric}[r.IntN(4)], fabrics...)
	j.Cutting.Gap = []float64{0, 0.5, 3, 8}[r.IntN(4)]
	j.Cutting.AngleTolerance = []float64{0, 0, 1, 4}[r.IntN(4)]
	j.Cutting.OneLotPerUnit = pick(0.2)
	if pick(0.3) {
		j.Cutting.Table = &shapes.Table{Length: float64(1500 + r.IntN(3000)), Width: 1600, Kind: shapes.StaticTable}
	}
	var outlines []*shapes.Outline
	for k := range 1 + r.IntN(5) {
		outlines = append(outlines, randomOutline(r, fmt.Sprint("O", k)))
	}
	for u := range 1 + r.IntN(2) {
		part := &shapes.Part{Name: fmt.Sprint("Part ", u+1), Units: 1 + r.IntN(3)}
		for i := range 1 + r.IntN(6) {
			ply := &shapes.Ply{Order: i + 1, Name: fmt.Sprintf("P%d%02d", u+1, i+1), Outline: outlines[r.IntN(len(outlines))],
				Fabric: fabrics[r.IntN(len(fabrics))], Direction: []float64{0, 0, 45, 90, -30}[r.IntN(5)],
				Tolerance: []float64{0, 2, 5}[r.IntN(3)], Count: 1 + r.IntN(3)}
			ply.OppositeHand = r.IntN(ply.Count + 1)
			if pick(0.25) {
				ply.Split = &shapes.Split{Joint: shapes.JointLap, Overlap: 40, MinPanel: 60, Stagger: 100, Allowed: pick(0.5), MinSaving: 50}
				if ply.Fabric.Construction == shapes.Unidirectional {
					ply.Split.Joint, ply.Split.Overlap = shapes.JointButt, 0
				}
			}
			part.Plies = append(part.Plies, ply)
		}
		if pick(0.15) {
			j.Cutting.KeepTogether = append(j.Cutting.KeepTogether, part.Name)
		}
		j.Parts = append(j.Parts, part)
	}
	return j
}

// randomOutline is a star-shaped polygon, now and then thin, as large as the
// roll or with a cut-out about its middle.
func randomOutline(r *rand.Rand, name string) *shapes.Outline {
	n := 3 + r.IntN(22)
	size := 60 + 540*r.Float64()*r.Float64()
	if r.IntN(12) == 0 {
		size = 900
	}
	flat := 0.2 + 0.8*r.Float64()
	ragged := r.Float64() * 0.6
	ring := make(orb.Ring, n)
	inner := math.Inf(1)
	for i := range ring {
		a := 2 * math.Pi * (float64(i) + 0.7*r.Float64()) / float64(n)
		d := size * (1 - ragged*r.Float64())
		ring[i] = orb.Point{d * math.Cos(a), flat * d * math.Sin(a)}
	}
	area := 0.0
	for i, p := range ring {
		q := ring[(i+1)%n]
		area += (p[0]*q[1] - q[0]*p[1]) / 2
		// distance of the middle from the edge
		if l := math.Hypot(q[0]-p[0], q[1]-p[1]); l > 0 {
			inner = min(inner, (p[0]*q[1]-q[0]*p[1])/l)
		}
	}
	o := &shapes.Outline{Name: name, Exterior: ring, Area: area}
	if h := inner * 0.6; h > 20 && r.IntN(3) == 0 {
		o.Holes = []orb.Ring{{{-h * 0.7, -h * 0.7}, {-h * 0.7, h * 0.7}, {h * 0.7, h * 0.7}, {h * 0.7, -h * 0.7}}}
		o.Area -= 1.96 * h * h
	}
	return o
}
