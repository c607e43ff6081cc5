package trace

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"plyroom/nest"
)

// A Question says what is asked of a trail. Exactly one field is set.
type Question struct {
	// Lot and Roll ask forward: which kits and units hold fabric of it.
	Lot, Roll string
	// Part and Unit ask back: which rolls and lots a unit is made of.
	Part string
	Unit int
}

// ParseUnit reads a part and the number of its unit: "Upper shell/1". The part
// may itself hold a stroke; the last one counts.
func ParseUnit(text string) (part string, unit int, err error) {
	at := strings.LastIndex(text, "/")
	if at > 0 {
		part = strings.TrimSpace(text[:at])
		if unit, err = strconv.Atoi(strings.TrimSpace(text[at+1:])); err == nil && unit >= 1 && part != "" {
			return part, unit, nil
		}
	}
	return "", 0, fmt.Errorf("%q is no unit: write part and number, such as \"Upper shell/1\"", text)
}

// Keeps reports whether a piece answers the question.
func (q Question) Keeps(p *Piece) bool {
	switch {
	case q.Lot != "":
		return p.Lot == q.Lot
	case q.Roll != "":
		return p.Roll == q.Roll
	}
	return p.Part == q.Part && p.Unit == q.Unit
}

// Select keeps the pieces, placed and missing, that answer a question.
func (t *Trail) Select(q Question) *Trail {
	out := *t
	out.Pieces, out.Missing = []Piece{}, []Piece{}
	for i := range t.Pieces {
		if q.Keeps(&t.Pieces[i]) {
			out.Pieces = append(out.Pieces, t.Pieces[i])
		}
	}
	for i := range t.Missing {
		if q.Keeps(&t.Missing[i]) {
			out.Missing = append(out.Missing, t.Missing[i])
		}
	}
	return &out
}

// Only keeps one piece, placed or missing.
func (t *Trail) Only(key nest.Key) *Trail {
	out := *t
	others := func(p Piece) bool {
		return key != nest.Key{Part: p.Part, Unit: p.Unit, Ply: p.Ply, Copy: p.Copy}
	}
	out.Pieces = slices.DeleteFunc(slices.Clone(t.Pieces), others)
	out.Missing = slices.DeleteFunc(slices.Clone(t.Missing), others)
	return &out
}

// Known lists what a question of its kind could name: lots, rolls or units.
func (t *Trail) Known(q Question) []string {
	var out []string
	for i := range t.Pieces {
		p := &t.Pieces[i]
		name := fmt.Sprintf("%s/%d", p.Part, p.Unit)
		switch {
		case q.Lot != "":
			name = p.Lot
		case q.Roll != "":
			name = p.Roll
		}
		if name != "" && !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}
