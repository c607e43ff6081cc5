package study

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// Differences without any gain, rules of a hundred studies: no more than one
// study in twenty calls any of them clear, beyond what chance allows.
func TestLuckIsNotCalledGain(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	const studies, rules, seeds = 400, 30, 3
	alarms := 0
	for range studies {
		alarm := false
		for _, s := range Judge(noise(r, rules, seeds, 0), nil, 0) {
			alarm = alarm || s.Verdict != Within
		}
		if alarm {
			alarms++
		}
	}
	// 20 are expected of 400 at 5 %; 40 are four and a half deviations off.
	require.Less(t, alarms, 40)
}

// A gain of six deviations among thirty rules is found with five seeds.
func TestGainIsFound(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	missed := 0
	for range 200 {
		d := noise(r, 30, 5, 0)
		for k := range d[7] {
			d[7][k] += 6
		}
		if Judge(d, nil, 0)[7].Verdict != Saves {
			missed++
		}
	}
	require.Less(t, missed, 5)
}

func noise(r *rand.Rand, rules, seeds int, mean float64) [][]float64 {
	out := make([][]float64, rules)
	for i := range out {
		for range seeds {
			out[i] = append(out[i], mean+r.NormFloat64())
		}
	}
	return out
}

// By hand: differences 1, 2, 3 have mean 2 and deviation 1; t for 2 degrees of
// freedom at 97.5 % is 4.303, so the band is 4.303/√3 = 2.484.
func TestJudgeByHand(t *testing.T) {
	s := Judge([][]float64{{1, 2, 3}}, nil, 0)[0]
	require.InDelta(t, 2, s.Mean, 1e-12)
	require.InDelta(t, 1, s.SD, 1e-12)
	require.InDelta(t, 2.484, s.Noise, 1e-3)
	require.Equal(t, Within, s.Verdict)

	require.Equal(t, Unknown, Judge([][]float64{{5}}, nil, 0)[0].Verdict)
	require.Equal(t, Same, Judge([][]float64{{0, 0.0001}}, nil, 0.001)[0].Verdict)
	require.Equal(t, Saves, Judge([][]float64{{2, 2, 2}}, nil, 0.001)[0].Verdict)
	require.Equal(t, Costs, Judge([][]float64{{-2, -2.1, -1.9}}, nil, 0.001)[0].Verdict)
	require.Zero(t, Judge([][]float64{{}}, nil, 0)[0].N)

	// A quiet fabric is not judged by the noise of another.
	loud, quiet := []float64{5, -4, 1}, []float64{0.2, 0.2, 0.21}
	require.Equal(t, Within, Judge([][]float64{loud, quiet}, nil, 0)[1].Verdict)
	require.Equal(t, Saves, Judge([][]float64{loud, quiet}, []string{"A", "B"}, 0)[1].Verdict)
}

func TestQuantileT(t *testing.T) {
	for _, free := range []float64{1, 2, 3, 7, 30, 250, 4000} {
		for _, p := range []float64{0.6, 0.95, 0.975, 0.9995, 0.999995} {
			want := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: free}.Quantile(p)
			require.InEpsilon(t, want, quantileT(p, free), 1e-6, "p %v, %v degrees", p, free)
		}
	}
}

func TestSample(t *testing.T) {
	require.Equal(t, Sample{}, NewSample(nil))
	s := NewSample([]float64{2, 4, 9})
	require.InDelta(t, 5, s.Mean, 1e-12)
	require.InDelta(t, math.Sqrt(13), s.SD, 1e-12) // (9+1+16)/2
	require.Equal(t, 2.0, s.Least)
	require.Equal(t, 9.0, s.Most)
}
