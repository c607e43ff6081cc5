package pack

import (
	"math"

	"plyroom/shapes/steady"
)

// random is a small generator (SplitMix64, Steele, Lea and Flood 2014): its
// sequence is fixed for good, and it is cheap enough for the inner loop.
type random struct{ s uint64 }

func newRandom(seed, stream uint64) random {
	r := random{seed*0x9e3779b97f4a7c15 + stream*0xd1b54a32d192ed03 + 1}
	r.next()
	return r
}

func (r *random) next() uint64 {
	r.s += 0x9e3779b97f4a7c15
	z := r.s
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// float is uniform in [0, 1).
func (r *random) float() float64 { return float64(float64(r.next()>>11) * 0x1p-53) }

// in is uniform in [lo, hi); lo where the interval is empty.
func (r *random) in(lo, hi float64) float64 {
	if hi <= lo {
		return lo
	}
	return lo + float64(r.float()*(hi-lo))
}

// intn is uniform in 0 … n-1.
func (r *random) intn(n int) int { return int((r.next() >> 33) * uint64(n) >> 31) }

// normal is one draw of the standard normal distribution.
func (r *random) normal() float64 {
	return math.Sqrt(-2*steady.Log(1-r.float())) * steady.Cos(2*math.Pi*r.float())
}

func (r *random) shuffle(v []int32) {
	for i := len(v) - 1; i > 0; i-- {
		j := r.intn(i + 1)
		v[i], v[j] = v[j], v[i]
	}
}
