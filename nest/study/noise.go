package study

import "math"

// A Sample is what several seeds gave for one figure.
type Sample struct {
	N    int     `json:"n"`
	Mean float64 `json:"mean"`
	// SD is the standard deviation between seeds; 0 for one seed.
	SD    float64 `json:"sd"`
	Least float64 `json:"least"`
	Most  float64 `json:"most"`
}

// NewSample sums up values.
func NewSample(v []float64) Sample {
	if len(v) == 0 {
		return Sample{}
	}
	s := Sample{N: len(v), Least: v[0], Most: v[0]}
	for _, x := range v {
		s.Mean += x / float64(len(v))
		s.Least, s.Most = math.Min(s.Least, x), math.Max(s.Most, x)
	}
	if s.N > 1 {
		for _, x := range v {
			s.SD += float64((x - s.Mean) * (x - s.Mean))
		}
		s.SD = math.Sqrt(s.SD / float64(s.N-1))
	}
	return s
}

// A Verdict says what a difference between cases is worth.
type Verdict string

// Verdicts on what relaxing a rule saves.
const (
	// Saves and Costs: the difference is clear of the noise.
	Saves Verdict = "saves"
	Costs Verdict = "costs"
	// Within: seeds differ as much as the cases do.
	Within Verdict = "within the noise"
	// Same: not one seed gave another figure.
	Same Verdict = "no change"
	// Unknown: one seed says nothing of the noise.
	Unknown Verdict = "one seed: noise unknown"
)

// Confidence is the share of studies in which no rule at all is called clear
// by luck alone.
const Confidence = 0.95

// rounding is below the differences that mean anything, mm.
const rounding = 0.5

// A Saving is what relaxing a rule saved, seed by seed.
type Saving struct {
	Sample
	// Noise is half the width of the band around Mean that the true mean lies
	// in, so that all bands of a study hold together with the study's
	// Confidence.
	Noise   float64 `json:"noise"`
	Verdict Verdict `json:"verdict"`
}

// Judge weighs savings against the noise of the search. paired holds, for each
// rule, the differences seed by seed.
//
// Seeds are few, so the spread of one rule's differences alone tells little:
// it is taken together with that of all rules of its pool, such as those on one
// fabric, and the larger of the two holds; pools names the pool of each, and
// nil is one pool. Since many rules are looked at, and the best is picked, each must be
// clear at a level of (1-Confidence) shared out among them (Bonferroni).
// Differences below tiny are none.
func Judge(paired [][]float64, pools []string, tiny float64) []Saving {
	out := make([]Saving, len(paired))
	squares, free, tried := map[string]float64{}, map[string]int{}, 0
	pool := func(i int) string {
		if pools == nil {
			return ""
		}
		return pools[i]
	}
	for i, d := range paired {
		out[i].Sample = NewSample(d)
		if len(d) == 0 {
			continue
		}
		// A rule that changes nothing is no sign that the search is quiet.
		if math.Abs(out[i].Least) <= tiny && math.Abs(out[i].Most) <= tiny {
			continue
		}
		tried++
		if n := len(d); n > 1 {
			squares[pool(i)] += float64(out[i].SD * out[i].SD * float64(n-1))
			free[pool(i)] += n - 1
		}
	}
	quantile := map[string]float64{}
	for i := range out {
		s := &out[i]
		same := math.Abs(s.Least) <= tiny && math.Abs(s.Most) <= tiny
		switch {
		case s.N == 0:
			continue
		case same:
			s.Verdict = Same
			continue
		case s.N < 2:
			s.Verdict = Unknown
			continue
		}
		f := float64(free[pool(i)])
		pooled := math.Sqrt(squares[pool(i)] / f)
		t, ok := quantile[pool(i)]
		if !ok {
			t = quantileT(1-(1-Confidence)/2/float64(tried), f)
			quantile[pool(i)] = t
		}
		s.Noise = t * math.Max(s.SD, pooled) / math.Sqrt(float64(s.N))
		switch {
		case s.Mean-s.Noise > tiny:
			s.Verdict = Saves
		case s.Mean+s.Noise < -tiny:
			s.Verdict = Costs
		default:
			s.Verdict = Within
		}
	}
	return out
}
