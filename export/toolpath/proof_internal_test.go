package toolpath

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
)

// Whatever is spoilt in a finished path is found before it is handed out.
func TestProofSeesDefects(t *testing.T) {
	rec := cutcase.Small()
	whole := func() (*Path, []loop) {
		p, err := Plan(rec, &rec.Layouts[0], Machine{})
		require.NoError(t, err)
		items, err := newShelf(rec, &rec.Layouts[0]).collect()
		require.NoError(t, err)
		loops, err := loopsOf(items, false)
		require.NoError(t, err)
		return p, loops
	}
	p, loops := whole()
	require.NoError(t, p.prove(loops))
	for name, spoil := range map[string]func(p *Path){
		"a cut left out": func(p *Path) { p.Cuts = p.Cuts[1:] },
		"a cut twice":    func(p *Path) { p.Cuts = append(p.Cuts, p.Cuts[0]) },
		"a vertex lost":  func(p *Path) { p.Cuts[0].Points = p.Cuts[0].Points[1:] },
		"outline before its cut-out": func(p *Path) {
			k := slices.IndexFunc(p.Cuts, func(c Cut) bool { return c.Kind == Hole })
			p.Cuts[k].Number = 99
		},
		"off the fabric": func(p *Path) { p.Moves[len(p.Moves)-2].To[0] = 5000 },
		"no number":      func(p *Path) { p.Moves[len(p.Moves)-2].To[1] = math.NaN() },
		"never lifted":   func(p *Path) { p.Moves = p.Moves[:len(p.Moves)-1] },
		"travel with the knife down": func(p *Path) {
			k := slices.IndexFunc(p.Moves, func(m Move) bool { return m.Op == Lift })
			p.Moves = slices.Delete(p.Moves, k, k+1)
		},
	} {
		p, loops := whole()
		spoil(p)
		assert.ErrorContains(t, p.prove(loops), "defect", name)
	}
}
