package run

import (
	"fmt"
	"io"
	"strconv"

	"plyroom/export/kitlist"
	"plyroom/export/labels"
	"plyroom/export/paper"
	"plyroom/nest"
	"plyroom/nest/kit"
)

// A Paper is a size of sheet that documents can be printed on.
type Paper struct {
	size   paper.Size
	labels labels.Grid
}

// Papers finds a paper by name: a4 or letter.
func Papers(name string) (Paper, error) {
	switch name {
	case "a4", "":
		return Paper{paper.A4, labels.Sheet24()}, nil
	case "letter":
		return Paper{paper.Letter, labels.Sheet24Letter()}, nil
	}
	return Paper{}, fmt.Errorf("unknown paper %q; known are a4 and letter", name)
}

// WriteKits writes a kit list per part and unit, as CSV and PDF.
func WriteKits(dir folder, prefix string, rec *nest.Record, kits []kit.Kit, p Paper) error {
	for i := range kits {
		k := &kits[i]
		// The number keeps names apart and sorts them as the kits are handed over.
		base := prefix + fileName(fmt.Sprintf("kit %0*d", digits(k.Of), k.Number), k.Part, fmt.Sprintf("unit %d", k.Unit))
		if err := create(dir, base+".csv", func(w io.Writer) error { return kitlist.WriteCSV(w, k) }); err != nil {
			return err
		}
		if err := create(dir, base+".pdf", func(w io.Writer) error {
			return kitlist.WritePDF(w, k, kitlist.Settings{Paper: p.size, Notes: rec.Notes})
		}); err != nil {
			return err
		}
	}
	return nil
}

// WriteLabels writes the tags and bag sheets of all kits.
func WriteLabels(w io.Writer, kits []kit.Kit, p Paper) error {
	return labels.Write(w, kits, labels.Settings{Grid: p.labels})
}

func digits(n int) int { return len(strconv.Itoa(n)) }
