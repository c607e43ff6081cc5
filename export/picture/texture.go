package picture

import (
	"strconv"

	"plyroom/export/markup"
	"plyroom/nest"
)

// Textures is how many parts can be told apart before textures repeat. The
// second half repeats the marks of the first on a darker ground.
const Textures = 2 * len0

const len0 = 8

// PartTextures gives each part of a record its texture, by the record's order
// of parts, so that a part looks the same in every picture.
func PartTextures(rec *nest.Record) map[string]int {
	m := make(map[string]int, len(rec.Parts))
	for _, p := range rec.Parts {
		if _, ok := m[p.Part]; !ok {
			m[p.Part] = len(m) % Textures
		}
	}
	return m
}

// marks are the signs of the textures, in a square of side 12. None has a
// direction.
var marks = [len0]string{
	"",
	"M3 3m-1.3 0a1.3 1.3 0 1 0 2.6 0a1.3 1.3 0 1 0-2.6 0M9 9m-1.3 0a1.3 1.3 0 1 0 2.6 0a1.3 1.3 0 1 0-2.6 0",
	"M6 6m-3.6 0a3.6 3.6 0 1 0 7.2 0a3.6 3.6 0 1 0-7.2 0M6 6m-2.4 0a2.4 2.4 0 1 1 4.8 0a2.4 2.4 0 1 1-4.8 0",
	"M5.2 2h1.6v3.2H10v1.6H6.8V10H5.2V6.8H2V5.2h3.2z",
	"M0 0h4.4v4.4H0zM6 6h4.4v4.4H6z",
	"M6 1.2L11 10.2H1z",
	"M3.4 2.2L6 4.8l2.6-2.6 1.2 1.2L7.2 6l2.6 2.6-1.2 1.2L6 7.2 3.4 9.8 2.2 8.6 4.8 6 2.2 3.4z",
	"M6 6m-3.8 0a3.8 3.8 0 1 0 7.6 0a3.8 3.8 0 1 0-7.6 0",
}

// Patterns writes the pattern of each texture that is asked for, and the
// hatches of scrap and flaws, with ids that begin with prefix. pitch is the
// side of a pattern's square, mm.
func Patterns(w *markup.Writer, prefix string, pitch float64, textures []int) {
	scale := "scale(" + strconv.FormatFloat(pitch/12, 'f', 3, 64) + ")"
	tile := func(name, side string, body func()) {
		w.Start("pattern", "id", prefix+name, "width", side, "height", side,
			"patternUnits", "userSpaceOnUse", "patternTransform", scale)
		body()
		w.End()
	}
	for _, t := range textures {
		tile("t"+strconv.Itoa(t), "12", func() {
			w.Empty("path", "class", "tint tint"+strconv.Itoa(t), "d", "M0 0h12v12H0z")
			if m := marks[t%len0]; m != "" {
				w.Empty("path", "class", "mark mark"+strconv.Itoa(t), "fill-rule", "evenodd", "d", m)
			}
		})
	}
	tile("scrap", "10", func() {
		w.Empty("path", "class", "hatch", "d", "M-2.5 2.5l5-5M0 10L10 0M7.5 12.5l5-5")
	})
	tile("flaw", "10", func() {
		w.Empty("path", "class", "hatch bad", "d", "M0 10L10 0M0 0l10 10")
	})
}
