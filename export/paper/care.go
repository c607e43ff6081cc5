package paper

import (
	"slices"
	"strings"
	"unicode"
)

// Care is what a document says about handling the job's resin, one sentence or
// two a caution, and what is written down about a mix.
type Care struct {
	// Cautions are about mixing, then about skin, eyes and breath.
	Cautions []string
	// Blanks name what is filled in by hand for the batches of resin.
	Blanks []string
}

// CareOf says what care a resin needs, by its name as the job writes it. Where
// the name tells no kind, or there is none, the words fit any resin.
func CareOf(resin string) Care {
	name := strings.ToLower(resin)
	words := strings.FieldsFunc(name, func(r rune) bool { return !unicode.IsLetter(r) })
	has := func(short string, parts ...string) bool {
		return slices.Contains(words, short) || slices.ContainsFunc(parts, func(p string) bool { return strings.Contains(name, p) })
	}
	switch {
	// Epoxy vinyl ester cures as vinyl ester does: it is asked for first.
	case has("ve", "vinyl"), has("up", "polyester"):
		return Care{
			Cautions: []string{
				"Never mix initiator and accelerator with each other directly: the mixture can explode.",
				"Ventilate. Wear respiratory protection against styrene and fibre dust.",
			},
			Blanks: []string{"resin batch", "initiator batch", "initiator %"},
		}
	case has("ep", "epox", "époxy", "epoks"):
		return Care{
			Cautions: []string{
				"Resin and hardener in the data sheet's mix ratio, never by feel. Mixed epoxy heats up in the pot and can smoke or burn: mix little, spread it soon.",
				"Epoxy and hardener can sensitise the skin for good: wear gloves and eye protection. Ventilate. Wear respiratory protection against fibre dust.",
			},
			Blanks: []string{"resin batch", "hardener batch", "mix ratio"},
		}
	}
	return Care{
		Cautions: []string{
			"Mix resin only as its data sheet says; it can heat up in the pot. Where it takes initiator and accelerator, never mix these with each other directly.",
			"Wear gloves and eye protection. Ventilate. Wear respiratory protection against vapour and fibre dust.",
		},
		Blanks: []string{"resin batch", "other batches", "mix ratio or %"},
	}
}
