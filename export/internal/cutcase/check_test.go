package cutcase

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/nest"
)

// whole lists the cuts of a record in an order that is surely legal.
func whole(rec *nest.Record) []Chain {
	var inner, outer []Chain
	for _, b := range boundaries(rec, &rec.Layouts[0]) {
		c := Chain{Purpose: b.purpose, Line: b.line}
		switch {
		case b.purpose == "outline" && len(b.line) == 7 && len(inner) == 2: // the ply in the frame
			inner = append([]Chain{c}, inner...)
		case b.purpose == "outline":
			outer = append(outer, c)
		default:
			inner = append(inner, c)
		}
	}
	return append(inner, outer...)
}

// Every way to spoil a cut file is seen: otherwise the tests of the writers
// would show nothing.
func TestCheckSeesWhatIsWrong(t *testing.T) {
	rec := Small()
	l := &rec.Layouts[0]
	good := whole(rec)
	require.NoError(t, Check(rec, l, good, 0.01))
	at := func(purpose string) int {
		for i, c := range good {
			if c.Purpose == purpose {
				return i
			}
		}
		t.Fatal(purpose)
		return 0
	}
	copied := func() []Chain {
		var out []Chain
		for _, c := range good {
			out = append(out, Chain{c.Purpose, append(orb.LineString{}, c.Line...)})
		}
		return out
	}
	for name, tc := range map[string]struct {
		spoil func([]Chain) []Chain
		says  string
	}{
		"dropped": {func(c []Chain) []Chain { return c[:len(c)-1] }, "is not cut"},
		"cut-out last": {func(c []Chain) []Chain {
			k := at("hole")
			h := c[k]
			return append(append(c[:k:k], c[k+1:]...), h)
		}, "comes after"},
		"slit last": {func(c []Chain) []Chain {
			k := at("slit")
			s := c[k]
			return append(append(c[:k:k], c[k+1:]...), s)
		}, "comes after"},
		"nested ply last": {func(c []Chain) []Chain { return append(c[1:], c[0]) }, "comes after"},
		"moved":           {func(c []Chain) []Chain { c[3].Line[1][0] += 0.05; return c }, "nobody asked for"},
		"not closed":      {func(c []Chain) []Chain { c[3].Line = c[3].Line[:len(c[3].Line)-1]; return c }, "not cut through"},
		"stray cut":       {func(c []Chain) []Chain { return append(c, Chain{Line: orb.LineString{{1500, 900}, {1600, 900}}}) }, "nobody asked for"},
		"off the fabric":  {func(c []Chain) []Chain { return append(c, Chain{Line: orb.LineString{{1500, 900}, {1600, 1300}}}) }, "leaves the fabric"},
		"wrong purpose":   {func(c []Chain) []Chain { c[at("slit")].Purpose = "outline"; return c }, "nobody asked for"},
	} {
		assert.ErrorContains(t, Check(rec, l, tc.spoil(copied()), 0.01), tc.says, name)
	}
}
