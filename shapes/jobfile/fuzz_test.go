package jobfile

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"plyroom/shapes"
)

// checkOutcome holds what Read promises for whatever it is given.
func checkOutcome(t interface{ Fatalf(string, ...any) }, job *shapes.Job, problems shapes.Problems) {
	if (job == nil) != (problems.Err() != nil) {
		t.Fatalf("job %v with problems %v", job != nil, problems)
	}
	for _, p := range problems {
		if strings.ContainsFunc(p.Error(), func(r rune) bool { return r < ' ' }) {
			t.Fatalf("a control character in %q", p.Error())
		}
		if p.Message == "" || p.File == "" {
			t.Fatalf("a problem without message or file: %+v", p)
		}
	}
	if job == nil {
		return
	}
	figure := func(what string, v, low, high float64) {
		if !(v >= low && v <= high) {
			t.Fatalf("%s is %v, not in [%v, %v]", what, v, low, high)
		}
	}
	pieces := 0
	for _, f := range job.Fabrics {
		figure("areal mass", f.ArealMass, 0, maxAreal*4)
		figure("glass content", f.GlassContent, 0, 1)
		figure("usable width", f.UsableWidth(), math.SmallestNonzeroFloat64, maxWidth)
		if f.Construction.Stitched() && len(f.Layers) == 0 {
			t.Fatalf("fabric %q has no layers", f.Name)
		}
		for _, r := range f.Rolls {
			figure("roll length", r.Length, 0, maxLength)
		}
	}
	if len(job.Parts) == 0 || len(job.Fabrics) == 0 || job.Name == "" {
		t.Fatalf("an empty job")
	}
	for _, part := range job.Parts {
		if len(part.Plies) == 0 {
			t.Fatalf("part %q has no plies", part.Name)
		}
		for _, p := range part.Plies {
			if p.Outline == nil || p.Fabric == nil || p.Name == "" {
				t.Fatalf("ply %+v is not complete", p)
			}
			figure("direction", p.Direction, math.Nextafter(-90, 0), 90)
			figure("opposite hand", float64(p.OppositeHand), 0, float64(p.Count))
			pieces += p.Count * part.Units
		}
	}
	figure("pieces", float64(pieces), 1, MaxPieces)
}

func FuzzRead(f *testing.F) {
	f.Add(everything)
	f.Add(base)
	f.Add(least)
	f.Add("a: &a [*a]\n<<: *a\n")
	f.Add("? [a]\n: b\n!!map {x: !!binary y}\n")
	f.Add("job: |\n  J\nfabrics: >-\n  x\n--- \n...\n%YAML 1.2\n")
	f.Add("parts: [{outlines: [[]]}, {outlines: {}}, {plies: [1, ~, []]}]")
	f.Fuzz(func(t *testing.T, job string) {
		start := time.Now()
		got, problems := readText(job, "underside.csv", undersideCSV)
		checkOutcome(t, got, problems)
		if took := time.Since(start); took > 5*time.Second {
			t.Fatalf("%d bytes took %v", len(job), took)
		}
	})
}

func FuzzTable(f *testing.F) {
	f.Add(undersideCSV)
	f.Add("order,ply,outline,fabric,direction\n1,\"a\nb\",SKIN,WR 600,0\n")
	f.Add("#\n# revision: \"x\ny\"\n\"order\";ply\n")
	f.Add("order\tply\toutline\tfabric\n\"\n")
	f.Fuzz(func(t *testing.T, table string) {
		got, problems := readText(everything, "underside.csv", table)
		checkOutcome(t, got, problems)
	})
}

// Spoiling a good job anywhere, by dropping, repeating or changing a stretch
// of it, gives a job or faults, never both and never a panic.
func TestSpoiledJobs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		job := everything
		for range rapid.IntRange(1, 3).Draw(t, "changes") {
			at := rapid.IntRange(0, len(job)-1).Draw(t, "at")
			to := min(len(job), at+rapid.IntRange(0, 12).Draw(t, "length"))
			with := rapid.OneOf(rapid.Just(""), rapid.Just(job[at:to]+job[at:to]), rapid.StringMatching(`[-a-z0-9:{}\[\]#&*"' \n.]{0,6}`)).Draw(t, "with")
			job = job[:at] + with + job[to:]
			if job == "" {
				job = "x"
			}
		}
		got, problems := readText(job, "underside.csv", undersideCSV)
		checkOutcome(t, got, problems)
	})
}

func TestNearest(t *testing.T) {
	known := []string{"fabric", "outline", "order", "opposite_hand", "ply"}
	for word, want := range map[string]string{
		"fabrik":       "fabric",
		"FABRIC":       "fabric",
		"oultine":      "outline", // two letters swapped
		"oppositehand": "opposite_hand",
		"opposite-hnd": "opposite_hand",
		"odrer":        "order",
		"colour":       "",
		"p":            "",
		"":             "",
		"pyl":          "ply",
	} {
		if got := Nearest(word, known); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", word, got, want)
		}
	}
	if got := Nearest(strings.Repeat("x", 1<<20), known); got != "" {
		t.Errorf("a megabyte is near %q", got)
	}
}

// The distance between words is a metric: zero for equal words only, the same
// both ways.
func TestEditDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringMatching(`[abc]{0,6}`)
		a, b := []rune(word.Draw(t, "a")), []rune(word.Draw(t, "b"))
		d := editDistance(a, b)
		if d != editDistance(b, a) {
			t.Fatalf("not the same both ways")
		}
		if (d == 0) != (string(a) == string(b)) {
			t.Fatalf("distance %d between %q and %q", d, string(a), string(b))
		}
		if d > max(len(a), len(b)) || d < max(len(a)-len(b), len(b)-len(a)) {
			t.Fatalf("distance %d between %q and %q", d, string(a), string(b))
		}
	})
}
