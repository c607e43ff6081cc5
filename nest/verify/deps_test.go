package verify_test

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// The judge shares nothing with what it judges: of this module it depends on
// the nouns only, and on no geometry from elsewhere. (Package orb itself, the
// point types, comes with package shapes.)
func TestDependencies(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", ".").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	allowed := []string{"plyroom/nest/verify", "plyroom/nest", "plyroom/shapes", "github.com/paulmach/orb"}
	for _, p := range strings.Fields(string(out)) {
		first, _, _ := strings.Cut(p, "/")
		own := first == "plyroom" || strings.Contains(first, ".")
		if own && !slices.Contains(allowed, p) {
			t.Errorf("depends on %s", p)
		}
	}
	imports, err := exec.Command("go", "list", "-f", `{{join .Imports "\n"}}`, ".").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	for _, p := range strings.Fields(string(imports)) {
		if strings.Contains(p, "orb") {
			t.Errorf("imports %s", p)
		}
	}
}
