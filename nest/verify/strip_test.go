package verify_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"plyroom/nest"
	"plyroom/nest/verify"
)

func TestStrip(t *testing.T) {
	a, b := rectangle(40, 100), moved(rectangle(60, 50), 0, 40, 0)
	for _, c := range []struct {
		name               string
		width, length, gap float64
		placed             []nest.Polygon
		want               []verify.Rule
	}{
		{"touching", 100, 100, 0, []nest.Polygon{a, b, moved(b, 0, 0, 50)}, nil},
		{"empty", 100, 100, 0, nil, nil},
		{"a gap wanted", 100, 100, 2, []nest.Polygon{a, b}, []verify.Rule{verify.RuleGap}},
		{"the gap kept", 100, 102, 2, []nest.Polygon{a, moved(b, 0, 2, 0)}, nil},
		{"too short", 100, 99.999, 0, []nest.Polygon{a, b}, []verify.Rule{verify.RuleInside}},
		{"too narrow", 99.999, 100, 0, []nest.Polygon{a, b}, []verify.Rule{verify.RuleInside}},
		{"below", 100, 100, 0, []nest.Polygon{moved(a, 0, 0, -1e-5)}, []verify.Rule{verify.RuleInside}},
		{"overlapping", 100, 100, 0, []nest.Polygon{a, moved(b, 0, -1e-5, 0)}, []verify.Rule{verify.RuleOverlap}},
		{"overlapping, a gap wanted", 100, 100, 2, []nest.Polygon{a, moved(b, 0, -1, 0)}, []verify.Rule{verify.RuleOverlap}},
		{"twice", 100, 100, 0, []nest.Polygon{a, a}, []verify.Rule{verify.RuleOverlap}},
		{"not a number", 100, 100, 0, []nest.Polygon{{Outline: nest.Ring{{0, 0}, {1, math.NaN()}, {0, 1}}}}, []verify.Rule{verify.RuleRecord}},
		{"no polygon", 100, 100, 0, []nest.Polygon{{}}, []verify.Rule{verify.RuleRecord}},
		{"no width", math.NaN(), 100, 0, nil, []verify.Rule{verify.RuleRecord}},
	} {
		t.Run(c.name, func(t *testing.T) {
			vs := verify.Strip(c.width, c.length, c.gap, c.placed...)
			if got := rules(vs); !slices.Equal(got, c.want) {
				t.Errorf("rules broken: %v, want %v: %v", got, c.want, vs)
			}
		})
	}
}

// A pile of plies is cut short and says so.
func TestStripPile(t *testing.T) {
	pile := slices.Repeat([]nest.Polygon{rectangle(10, 10)}, 2000)
	vs := verify.Strip(100, 100, 0, pile...)
	if len(vs) != verify.MaxFindings || !contains(vs[len(vs)-1].Message, "search ends here") {
		t.Errorf("%d violations, the last: %v", len(vs), vs[len(vs)-1])
	}
}

func ExampleStrip() {
	a := nest.Polygon{Outline: nest.Ring{{0, 0}, {40, 0}, {40, 30}, {0, 30}}}
	b := nest.Polygon{Outline: nest.Ring{{39, 0}, {80, 0}, {80, 30}, {39, 30}}}
	for _, v := range verify.Strip(30, 100, 0, a, b) {
		fmt.Println(v)
	}
	// Output: rule 4 (overlap): the plies overlap, 1 mm deep or more, at (40, 15)
}

// The polygons of published instances are sane, laid one after another they
// pass, and laid one upon another they do not. STRIP_INSTANCES is the folder
// of the instances.
func TestPublishedPolygons(t *testing.T) {
	files, _ := filepath.Glob(filepath.Join(os.Getenv("STRIP_INSTANCES"), "*.json"))
	if len(files) == 0 {
		t.Skip("STRIP_INSTANCES names no folder of instances")
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var in struct {
			Items []struct {
				Outline nest.Ring `json:"outline"`
			} `json:"items"`
		}
		if err := json.Unmarshal(data, &in); err != nil {
			t.Fatal(err)
		}
		var row []nest.Polygon
		x, high := 0.0, 0.0
		for _, it := range in.Items {
			lo, hi := it.Outline[0], it.Outline[0]
			for _, v := range it.Outline {
				lo = nest.Point{min(lo[0], v[0]), min(lo[1], v[1])}
				hi = nest.Point{max(hi[0], v[0]), max(hi[1], v[1])}
			}
			p := nest.Polygon{Outline: it.Outline}
			if signedArea(p.Outline) < 0 {
				slices.Reverse(p.Outline)
			}
			row = append(row, moved(p, 0, x-lo[0], -lo[1]))
			x, high = x+hi[0]-lo[0], max(high, hi[1]-lo[1])
		}
		for _, v := range verify.Strip(high, x, 0, row...) {
			t.Errorf("%s: %s", filepath.Base(file), v)
		}
		for i := 1; i < len(row); i++ {
			if _, _, overlap := verify.Overlap(row[i-1], row[i]); overlap {
				t.Errorf("%s: neighbours overlap", filepath.Base(file))
			}
			if _, _, overlap := verify.Overlap(row[i], row[i]); !overlap {
				t.Errorf("%s: polygon %d does not overlap itself", filepath.Base(file), i)
			}
		}
	}
}
