package sample

import (
	"math"

	"plyroom/nest"
)

// outline is a shape before it has an id: seen looking down on the tool, first
// hand, datum along +X.
type outline struct {
	name  string
	ring  nest.Ring
	holes []nest.Ring
}

// shell is a rectangle with bulging long sides and round corners.
func shell(w, h, bulge, radius float64) nest.Ring {
	var r nest.Ring
	corner := func(cx, cy, from float64) {
		for k := 0; k <= 6; k++ {
			a := (from + float64(float64(k)*15)) * math.Pi / 180
			r = append(r, nest.Point{cx + float64(radius*math.Cos(a)), cy + float64(radius*math.Sin(a))})
		}
	}
	side := func(x0, y0, x1, y1, out float64) {
		for k := 1; k < 10; k++ {
			t := float64(k) / 10
			r = append(r, nest.Point{x0 + float64((x1-x0)*t), y0 + float64((y1-y0)*t) + float64(out*4*t*(1-t))})
		}
	}
	corner(w-radius, h-radius, 0)
	side(w-radius, h, radius, h, bulge)
	corner(radius, h-radius, 90)
	corner(radius, radius, 180)
	side(radius, 0, w-radius, 0, -bulge)
	corner(w-radius, radius, 270)
	return r
}

// cheek is a quarter of an ellipse: it has a hand.
func cheek(w, h float64) nest.Ring {
	r := nest.Ring{{0, 0}}
	for k := 0; k <= 16; k++ {
		a := float64(k) / 16 * math.Pi / 2
		r = append(r, nest.Point{w * math.Cos(a), h * math.Sin(a)})
	}
	return r
}

// bracket is an L with a dart in its long leg.
func bracket(w, h, leg float64) nest.Ring {
	return nest.Ring{
		{0, 0}, {w * 0.6, 0}, {float64(w*0.6) + float64(leg*0.2), leg * 0.5}, {float64(w*0.6) + float64(leg*0.4), 0}, {w, 0},
		{w, leg}, {leg * 1.4, leg}, {leg * 1.15, leg * 1.1}, {leg, leg * 1.4}, {leg, h}, {0, h},
	}
}

// strip is narrow and slightly curved.
func strip(w, h, bow float64) nest.Ring {
	var r nest.Ring
	for k := 0; k <= 14; k++ {
		t := float64(k) / 14
		r = append(r, nest.Point{w * t, bow * 4 * t * (1 - t)})
	}
	for k := 14; k >= 0; k-- {
		t := float64(k) / 14
		r = append(r, nest.Point{w * t, h + float64(bow*4*t*(1-t))})
	}
	return r
}

// disc is a circle of n corners, counter-clockwise; hole the same clockwise.
func disc(cx, cy, radius float64, n int) nest.Ring {
	r := make(nest.Ring, n)
	for k := range r {
		a := 2 * math.Pi * float64(k) / float64(n)
		r[k] = nest.Point{cx + float64(radius*math.Cos(a)), cy + float64(radius*math.Sin(a))}
	}
	return r
}

func hole(cx, cy, radius float64) nest.Ring {
	r := disc(cx, cy, radius, 32)
	for i, j := 0, len(r)-1; i < j; i, j = i+1, j-1 {
		r[i], r[j] = r[j], r[i]
	}
	return r
}

// outlines is the drawing of the sample job.
func outlines() []outline {
	return []outline{
		{"SKIN", shell(1120, 760, 60, 90), nil},
		{"SKIN-HALF", shell(820, 560, 45, 60), nil},
		{"CHEEK", cheek(620, 430), nil},
		{"CHEEK-SMALL", cheek(360, 290), nil},
		{"RIB", bracket(560, 320, 110), nil},
		{"GUSSET", bracket(300, 240, 90), nil},
		{"EDGE", strip(1500, 70, 34), nil},
		{"CLEAT", strip(520, 48, 8), nil},
		{"COLLAR", disc(240, 240, 240, 64), []nest.Ring{hole(240, 240, 128)}},
		{"HATCH", shell(470, 380, 14, 40), []nest.Ring{hole(235, 190, 95)}},
		{"PATCH", shell(190, 150, 6, 30), nil},
		{"PATCH-ROUND", disc(80, 80, 80, 40), nil},
	}
}
