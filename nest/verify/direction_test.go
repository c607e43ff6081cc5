package verify_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
	"plyroom/shapes"
)

// A directionCase says, for one fabric, at which angles from the asked one the
// warp may lie: for each face as laid and each hand, where the opposite hand
// asks the negated direction. "any", "none", or angles in [0, 360).
type directionCase struct {
	name                       string
	fabric                     shapes.Fabric
	up, down, upOther, dnOther string
}

// stack writes layers "45:300 -45:300".
func stack(s string) []shapes.FabricLayer {
	var out []shapes.FabricLayer
	for _, f := range strings.Fields(s) {
		a, m, _ := strings.Cut(f, ":")
		angle, err1 := strconv.ParseFloat(a, 64)
		mass, err2 := strconv.ParseFloat(m, 64)
		if err1 != nil || err2 != nil {
			panic(s)
		}
		out = append(out, shapes.FabricLayer{Angle: angle, Mass: mass})
	}
	return out
}

// directionCases is derived by hand. S is the stack, R the stack from its
// other side (order reversed, signs changed), M its mirror image (signs
// changed); angles modulo 180.
func directionCases() []directionCase {
	const (
		half    = "0 180"
		quarter = "0 90 180 270"
		side    = "90 270"
	)
	f := func(c shapes.Construction, layers string, more ...func(*shapes.Fabric)) shapes.Fabric {
		out := shapes.Fabric{Construction: c, ArealMass: 600, GlassContent: 0.5, Faces: shapes.SameFaces, Layers: stack(layers)}
		for _, m := range more {
			m(&out)
		}
		return out
	}
	different := func(f *shapes.Fabric) { f.Faces = shapes.DifferentFaces }
	balanced := func(f *shapes.Fabric) { f.Balanced = true }
	free := func(f *shapes.Fabric) { f.DiagonalFree = true }
	order := func(f *shapes.Fabric) { f.LayerOrderMatters = true }
	warps := func(w ...float64) func(*shapes.Fabric) { return func(f *shapes.Fabric) { f.WarpPositions = w } }
	return []directionCase{
		{"mat", f(shapes.Mat, ""), "any", "any", "any", "any"},
		{"mat, faces differ", f(shapes.Mat, "", different), "any", "none", "any", "none"},
		{"mat, positions stated", f(shapes.Mat, "", warps(0, 180)), half, half, half, half},
		{"film", f(shapes.Film, ""), "any", "any", "any", "any"},
		{"core", f(shapes.Core, ""), "any", "any", "any", "any"},
		{"core, faces differ", f(shapes.Core, "", different), "any", "none", "any", "none"},

		// One layer at 0: R = [0], M = [0].
		{"unidirectional", f(shapes.Unidirectional, ""), half, half, half, half},
		{"unidirectional, layer listed", f(shapes.Unidirectional, "0:300"), half, half, half, half},
		{"unidirectional, faces differ", f(shapes.Unidirectional, "", different), half, "none", half, "none"},
		{"unidirectional, order matters", f(shapes.Unidirectional, "", order), half, half, half, half},
		// A light weft on top is at the bottom once turned over.
		{"unidirectional with weft", f(shapes.Unidirectional, "0:300 90:20"), half, "none", half, "none"},

		{"plain", f(shapes.Plain, ""), half, half, half, half},
		{"plain, faces differ", f(shapes.Plain, "", different), half, "none", half, "none"},
		{"plain, balanced", f(shapes.Plain, "", balanced), quarter, quarter, quarter, quarter},
		{"plain, balanced, faces differ", f(shapes.Plain, "", balanced, different), quarter, "none", quarter, "none"},
		{"plain, balanced, one position", f(shapes.Plain, "", balanced, warps(0)), "0", "0", "0", "0"},
		// Layer order is a matter of stitched fabrics.
		{"plain, order matters", f(shapes.Plain, "", order), half, half, half, half},

		// The diagonal reverses at 90° and turned over.
		{"twill", f(shapes.Twill, ""), half, "none", half, "none"},
		{"twill, balanced", f(shapes.Twill, "", balanced), half, "none", half, "none"},
		{"twill, diagonal free", f(shapes.Twill, "", free), half, half, half, half},
		{"twill, balanced, diagonal free", f(shapes.Twill, "", balanced, free), quarter, quarter, quarter, quarter},
		{"twill, positions stated", f(shapes.Twill, "", balanced, warps(0, 90, 180, 270)), quarter, "none", quarter, "none"},

		// Warp on one face, weft on the other.
		{"satin", f(shapes.Satin, ""), half, "none", half, "none"},
		{"satin, balanced", f(shapes.Satin, "", balanced), half, "none", half, "none"},
		{"satin, one position", f(shapes.Satin, "", warps(0)), "0", "none", "0", "none"},

		// S = [45/-45]; reversed [-45/45], signs changed R = [45/-45] = S.
		{"biaxial ±45", f(shapes.Biaxial, "45:300 -45:300"), half, half, half, half},
		{"biaxial ±45, faces differ", f(shapes.Biaxial, "45:300 -45:300", different), half, "none", half, "none"},
		// M = [-45/45] = S + 90 = R + 90.
		{"biaxial ±45, order matters", f(shapes.Biaxial, "45:300 -45:300", order), half, half, side, side},
		{"biaxial ±45, order matters, faces differ", f(shapes.Biaxial, "45:300 -45:300", order, different), half, "none", side, "none"},
		{"biaxial ±45, positions stated", f(shapes.Biaxial, "45:300 -45:300", warps(0)), "0", "0", "0", "0"},
		{"biaxial ±45, order matters, positions stated", f(shapes.Biaxial, "45:300 -45:300", order, warps(0)), "0", "0", "none", "none"},
		// R = [45:200/-45:300] is no turn of [45:300/-45:200]; M = S + 90.
		{"biaxial ±45, unequal", f(shapes.Biaxial, "45:300 -45:200"), half, "none", half, "none"},
		{"biaxial ±45, unequal, order matters", f(shapes.Biaxial, "45:300 -45:200", order), half, "none", side, "none"},
		// S = [0/90]; R = [-90/0] = [90/0] = S + 90. M = [0/-90] = S = R + 90.
		{"biaxial 0/90", f(shapes.Biaxial, "0:300 90:300"), half, side, half, side},
		{"biaxial 0/90, order matters", f(shapes.Biaxial, "0:300 90:300", order), half, side, half, side},
		{"biaxial 0/90, one position", f(shapes.Biaxial, "0:300 90:300", warps(0)), "0", "none", "0", "none"},
		{"biaxial 0/90, two positions", f(shapes.Biaxial, "0:300 90:300", warps(0, 180)), half, side, half, side},
		{"biaxial 0/90, unequal", f(shapes.Biaxial, "0:300 90:250"), half, "none", half, "none"},
		{"biaxial 0/90, order matters, one position", f(shapes.Biaxial, "0:300 90:300", order, warps(0)), "0", "none", "0", "none"},
		// Layers not listed: nothing but the half turn is known.
		{"biaxial, unlisted", f(shapes.Biaxial, ""), half, "none", half, "none"},
		{"biaxial, unlisted, order matters", f(shapes.Biaxial, "", order), half, "none", "none", "none"},

		// S = [45/0/-45]; R = [45/0/-45] = S. M = [-45/0/45]: S - 90 begins
		// with -45 and goes on with -90.
		{"triaxial 45/0/-45", f(shapes.Triaxial, "45:200 0:300 -45:200"), half, half, half, half},
		{"triaxial 45/0/-45, order matters", f(shapes.Triaxial, "45:200 0:300 -45:200", order), half, half, "none", "none"},
		// S = [0/45/-45]; R = [45/-45/0]; R - 45 = [0/-90/..].
		{"triaxial 0/45/-45", f(shapes.Triaxial, "0:200 45:200 -45:200"), half, "none", half, "none"},
		// M = [0/-45/45]: S + 0 goes on with 45. R - 45 = [0/-90/..].
		{"triaxial 0/45/-45, order matters", f(shapes.Triaxial, "0:200 45:200 -45:200", order), half, "none", "none", "none"},
		// S = [0/60/-60]; R = [60/-60/0]; R - 60 = [0/-120/-60] = [0/60/-60] = S.
		{"triaxial 0/60/-60", f(shapes.Triaxial, "0:200 60:200 -60:200"), half, "120 300", half, "120 300"},

		// S = [0/45/90/-45]; R = [45/-90/-45/0] = [45/90/-45/0];
		// R - 45 = [0/45/-90/-45] = S.
		{"quadraxial", f(shapes.Quadraxial, "0:200 45:200 90:200 -45:200"), half, "135 315", half, "135 315"},
		{"quadraxial, one position", f(shapes.Quadraxial, "0:200 45:200 90:200 -45:200", warps(0)), "0", "none", "0", "none"},
		// M = [0/-45/90/45]: S + 0 goes on with 45; R - 45 goes on with 45.
		{"quadraxial, order matters", f(shapes.Quadraxial, "0:200 45:200 90:200 -45:200", order), half, "135 315", "none", "none"},
	}
}

// one places a single shape under the given circumstances.
func one(f shapes.Fabric, face string, l lay) *nest.Record {
	b := newBench()
	f.Name, f.Width, f.Selvedge = "F", 1270, 15
	b.rec.Fabrics = append(b.rec.Fabrics, f)
	b.shape("L", nest.Polygon{Outline: nest.Ring{{0, 0}, {400, 0}, {400, 100}, {100, 100}, {100, 300}, {0, 300}}})
	b.layout("F")
	b.rec.Layouts[0].Layers[0].Face = face
	l.ply, l.shape, l.x, l.y = "1", "L", 600, 600
	b.piece(l)
	return b.finish()
}

// rejected reports whether the direction is refused, and not only what is
// recorded about it.
func rejected(t *testing.T, r *nest.Record) bool {
	t.Helper()
	for _, v := range verify.Check(r) {
		if v.Rule != verify.RuleDirection {
			t.Fatalf("unexpected: %s", v)
		}
		if !contains(v.Message, "the record") {
			return true
		}
	}
	return false
}

// Every construction, face and hand, at directions and rotations every 15°,
// against the table. The layer may itself lie face down: then pieces turned
// over are laid face up.
func TestDirectionTable(t *testing.T) {
	for _, c := range directionCases() {
		t.Run(c.name, func(t *testing.T) {
			for _, asked := range []float64{0, 15, 30, 45, 90, -45, -60} {
				for r := -180.0; r < 180; r += 15 {
					for n := range 8 {
						turned, opposite, layerDown := n&1 != 0, n&2 != 0, n&4 != 0
						l := lay{direction: asked, rotation: r, turned: turned, opposite: opposite}
						face := "up"
						if layerDown {
							face = "down"
						}
						// The part as laid: warp at -r, or +r turned over;
						// asked of the opposite hand is the negative.
						laid, want := -r, asked
						if turned {
							laid = r
						}
						if opposite {
							want = -asked
						}
						allowed := [2][2]string{{c.up, c.down}, {c.upOther, c.dnOther}}[btoi(opposite)][btoi(turned != layerDown)]
						gotLaid, dev, why := verify.Direction(&c.fabric, asked, r, turned, opposite, layerDown)
						if ok := why == "" && math.Abs(dev) < 1e-9; ok != listed(allowed, laid-want) || math.Mod(gotLaid-laid, 360) != 0 {
							t.Fatalf("Direction(%g, %g, %v, %v, %v) = %g, %g, %q, allowed are %s", asked, r, turned, opposite, layerDown, gotLaid, dev, why, allowed)
						}
						if got := rejected(t, one(c.fabric, face, l)); got == listed(allowed, laid-want) {
							t.Fatalf("asked %g, rotation %g, turned over %v, opposite hand %v, layer face %s: rejected = %v, allowed are %s",
								asked, r, turned, opposite, face, got, allowed)
						}
					}
				}
			}
		})
	}
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func listed(allowed string, angle float64) bool {
	switch allowed {
	case "any":
		return true
	case "none":
		return false
	}
	for _, s := range strings.Fields(allowed) {
		a, err := strconv.ParseFloat(s, 64)
		if err != nil {
			panic(allowed)
		}
		if math.Mod(math.Mod(angle-a, 360)+360, 360) == 0 {
			return true
		}
	}
	return false
}

// Case 1 of the worked cases: a turned biaxial.
func TestWorkedCaseTurnedBiaxial(t *testing.T) {
	bx := shapes.Fabric{Construction: shapes.Biaxial, ArealMass: 600, GlassContent: 0.5, Faces: shapes.SameFaces, Layers: stack("45:300 -45:300")}
	for _, c := range []struct {
		rotation float64
		turned   bool
		rejected bool
	}{
		{-45, false, false},
		{45, true, false},
		{-45, true, true},
		{45, false, true},
	} {
		r := one(bx, "up", lay{direction: 45, rotation: c.rotation, turned: c.turned})
		if got := rejected(t, r); got != c.rejected {
			t.Errorf("rotation %g, turned over %v: rejected = %v, want %v", c.rotation, c.turned, got, c.rejected)
		}
	}
	// (400, 0) comes to (282.843, 282.843), (0, 300) to (212.132, -212.132).
	r := one(bx, "up", lay{direction: 45, rotation: 45, turned: true})
	for _, want := range []nest.Point{{282.842712, 282.842712}, {212.132034, -212.132034}} {
		found := false
		for _, v := range r.Layouts[0].Placed[0].Outline {
			found = found || math.Hypot(v[0]-600-want[0], v[1]-600-want[1]) < 1e-5
		}
		if !found {
			t.Errorf("no vertex at %v", want)
		}
	}
	// 90° off is said.
	mustBreak(t, one(bx, "up", lay{direction: 45, rotation: -45, turned: true}), verify.RuleDirection, "90° off", "1")
}

// Case 2 of the worked cases: two hands of one outline.
func TestWorkedCasePair(t *testing.T) {
	ud := shapes.Fabric{Construction: shapes.Unidirectional, ArealMass: 300, GlassContent: 0.5, Faces: shapes.SameFaces}
	pair := func(l lay) *nest.Record {
		b := newBench()
		f := ud
		f.Name, f.Width, f.Selvedge = "F", 1270, 15
		b.rec.Fabrics = append(b.rec.Fabrics, f)
		b.shape("T", nest.Polygon{Outline: nest.Ring{{0, 0}, {600, 0}, {0, 300}}})
		b.layout("F")
		l.ply, l.shape, l.direction, l.x, l.y = "1", "T", 30, 300, 600
		b.piece(l)
		return b.finish()
	}
	at := func(r *nest.Record) string {
		s := ""
		for _, v := range r.Layouts[0].Placed[0].Outline {
			s += fmt.Sprintf("(%.3f, %.3f) ", v[0]-300, v[1]-600)
		}
		return s
	}
	first := pair(lay{rotation: -30})
	mustPass(t, first)
	if got := at(first); got != "(0.000, 0.000) (519.615, -300.000) (150.000, 259.808) " {
		t.Errorf("first hand at %s", got)
	}
	other := pair(lay{rotation: 30, opposite: true})
	mustPass(t, other)
	if got := at(other); got != "(150.000, -259.808) (519.615, 300.000) (0.000, 0.000) " {
		t.Errorf("opposite hand at %s", got)
	}
	// Laid at +30: 60° off.
	mustBreak(t, pair(lay{rotation: -30, opposite: true}), verify.RuleDirection, "60° off", "1")
	// Turned over it has the first hand's polygon.
	turned := pair(lay{rotation: -30, opposite: true, turned: true})
	mustPass(t, turned)
	if got := at(turned); got != at(first) {
		t.Errorf("opposite hand turned over at %s", got)
	}
	ud.Faces = shapes.DifferentFaces
	mustBreak(t, pair(lay{rotation: -30, opposite: true, turned: true}), verify.RuleDirection, "faces differ", "1")
	mustPass(t, pair(lay{rotation: 30, opposite: true}))
}

func TestTolerance(t *testing.T) {
	ud := shapes.Fabric{Construction: shapes.Unidirectional, ArealMass: 300, GlassContent: 0.5, Faces: shapes.SameFaces}
	for _, c := range []struct {
		ply, rules, rotation float64
		rejected             bool
	}{
		{0, 0, -30, false}, {0, 0, -30.00001, true},
		{5, 2, -32, false}, {5, 2, -28, false}, {5, 2, -32.00001, true}, {5, 2, 150, false}, {5, 2, 152, false}, {5, 2, 147.9, true},
		{1, 90, -31, false}, {1, 90, -31.1, true},
		{5, 0, -31, true},
	} {
		r := one(ud, "up", lay{direction: 30, tolerance: c.ply, rotation: c.rotation})
		r.Rules.AngleTolerance = c.rules
		if got := rejected(t, r); got != c.rejected {
			t.Errorf("tolerance %g, rules %g, rotation %g: rejected = %v, want %v", c.ply, c.rules, c.rotation, got, c.rejected)
		}
	}
}

func TestRecordedAngles(t *testing.T) {
	ud := shapes.Fabric{Construction: shapes.Unidirectional, ArealMass: 300, GlassContent: 0.5, Faces: shapes.SameFaces}
	base := func() *nest.Record {
		r := one(ud, "up", lay{direction: 30, tolerance: 5, rotation: -31})
		r.Rules.AngleTolerance = 2
		return r
	}
	mustPass(t, base())
	for _, c := range []struct {
		laid, deviation float64
		words           string
	}{
		{32, 1, "laid at 32"},
		{-31, 1, "laid at -31"},
		{31, -1, "deviation of -1"},
		{31, 181, "deviation of 181"},
		{31, 0, "deviation of 0"},
		{211, 1, "outside the half circle"},
	} {
		r := base()
		r.Layouts[0].Placed[0].LaidDeg, r.Layouts[0].Placed[0].DeviationDeg = c.laid, c.deviation
		mustBreak(t, r, verify.RuleDirection, c.words, "1")
	}
}
