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
// direction. Only their M is absolute, so that whoever repeats a mark moves it
// by its Ms. Circles are octagons: at their size none can tell, and paper takes
// a fraction of the bytes.
var marks = [len0]string{
	"",
	"M1.7 3l.4-.9 .9-.4 .9 .4 .4 .9-.4 .9-.9 .4-.9-.4zM7.7 9l.4-.9 .9-.4 .9 .4 .4 .9-.4 .9-.9 .4-.9-.4z",
	"M2.4 6l1.1-2.5 2.5-1.1 2.5 1.1 1.1 2.5-1.1 2.5-2.5 1.1-2.5-1.1zM3.6 6l.7-1.7 1.7-.7 1.7 .7 .7 1.7-.7 1.7-1.7 .7-1.7-.7z",
	"M5.2 2h1.6v3.2h3.2v1.6h-3.2v3.2h-1.6v-3.2h-3.2v-1.6h3.2z",
	"M0 0h4.4v4.4h-4.4zM6 6h4.4v4.4h-4.4z",
	"M6 1.2l5 9h-10z",
	"M3.4 2.2l2.6 2.6 2.6-2.6 1.2 1.2-2.6 2.6 2.6 2.6-1.2 1.2-2.6-2.6-2.6 2.6-1.2-1.2 2.6-2.6-2.6-2.6z",
	"M2.2 6l1.1-2.7 2.7-1.1 2.7 1.1 1.1 2.7-1.1 2.7-2.7 1.1-2.7-1.1z",
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
