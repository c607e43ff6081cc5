package compare

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"plyroom/nest"
	"plyroom/shapes"
)

// terms says under which other rules and prices b was laid than a; empty where
// there are none.
func terms(a, b Run) string {
	var out []string
	differ := func(what, was, is string) {
		if was != is {
			out = append(out, fmt.Sprintf("%s %s, not %s", what, is, was))
		}
	}
	ra, rb := &a.Record.Rules, &b.Record.Rules
	for _, x := range []struct {
		what    string
		was, is float64
		unit    string
	}{
		{"gap", ra.Gap, rb.Gap, " mm"}, {"trim", ra.Trim, rb.Trim, " mm"}, {"end allowance", ra.EndAllowance, rb.EndAllowance, " mm"},
		{"angle tolerance", ra.AngleTolerance, rb.AngleTolerance, "°"}, {"layers", float64(max(1, ra.Layers)), float64(max(1, rb.Layers)), ""},
		{"least remnant", ra.MinRemnant, rb.MinRemnant, " mm"},
	} {
		differ(x.what, figure(x.was)+x.unit, figure(x.is)+x.unit)
	}
	differ("table", tableWords(ra.Table), tableWords(rb.Table))
	differ("spreads for", policy(ra), policy(rb))
	differ("kits kept together", orNone(strings.Join(ra.KeepTogether, ", ")), orNone(strings.Join(rb.KeepTogether, ", ")))
	differ("one lot for each unit", yesNo(ra.OneLotPerUnit), yesNo(rb.OneLotPerUnit))
	differ("currency", orNone(a.Record.Currency), orNone(b.Record.Currency))
	for i := range b.Record.Fabrics {
		f := &b.Record.Fabrics[i]
		was := a.Record.Fabric(f.Name)
		if was == nil {
			continue
		}
		differ(f.Name+" width", figure(was.Width)+" mm", figure(f.Width)+" mm")
		differ(f.Name+" selvedge", figure(was.Selvedge)+" mm", figure(f.Selvedge)+" mm")
		differ(f.Name+" faces", string(was.Faces), string(f.Faces))
		differ(f.Name+" price", priceWords(was.Price), priceWords(f.Price))
	}
	if n := tolerances(a.Record, b.Record); n > 0 {
		out = append(out, fmt.Sprintf("another tolerance for %d of the plies", n))
	}
	if n := divisions(a.Record, b.Record); n > 0 {
		out = append(out, fmt.Sprintf("%d of the plies divided otherwise", n))
	}
	differ("search", searched(&a.Record.Search), searched(&b.Record.Search))
	if len(out) == 0 {
		return ""
	}
	return fmt.Sprintf("%s was laid under other terms than %s: %s", b.Name, a.Name, strings.Join(out, "; "))
}

// tolerances counts the pieces of both records whose tolerance differs.
func tolerances(a, b *nest.Record) int {
	of := whole(b)
	n := 0
	for k, d := range whole(a) {
		if e, ok := of[k]; ok && e.ToleranceDeg != d.ToleranceDeg {
			n++
		}
	}
	return n
}

// divisions counts the pieces of both records that have other panels or seams.
func divisions(a, b *nest.Record) int {
	of := whole(b)
	n := 0
	for k, d := range whole(a) {
		e, ok := of[k]
		switch {
		case !ok || d.Panel == nil && e.Panel == nil:
		case d.Panel == nil || e.Panel == nil || d.Panel.Of != e.Panel.Of || d.Panel.AxisDeg != e.Panel.AxisDeg ||
			!slices.Equal(d.Panel.Seams, e.Panel.Seams) || !slices.Equal(d.Panel.CrossSeams, e.Panel.CrossSeams):
			n++
		}
	}
	return n
}

func figure(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func tableWords(t *shapes.Table) string {
	if t == nil {
		return "of any length"
	}
	return fmt.Sprintf("%s of %s by %s mm", t.Kind, figure(t.Length), figure(t.Width))
}

func policy(r *shapes.Cutting) string {
	switch {
	case r.Layers < 2 || len(r.Spreads) == 0:
		return string(shapes.SpreadNone)
	case r.SpreadPolicy == "":
		return string(shapes.SpreadRecommended)
	}
	return string(r.SpreadPolicy)
}

func priceWords(p *shapes.Price) string {
	if p == nil {
		return "unknown"
	}
	return figure(p.Amount) + " per " + string(p.Per)
}

// searched says how hard a plan was searched for.
func searched(s *nest.Search) string {
	if s.Effort > 0 {
		return fmt.Sprintf("effort %d", s.Effort)
	}
	return "for a time"
}
