package kitlist_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/export/kitlist"
	"plyroom/export/paper"
	"plyroom/nest"
	"plyroom/nest/kit"
	"plyroom/shapes"
)

func dump(t *testing.T, name string, k *kit.Kit, s kitlist.Settings) {
	var b bytes.Buffer
	require.NoError(t, kitlist.WritePDF(&b, k, s))
	os.WriteFile(filepath.Join("/tmp/kl", name+".pdf"), b.Bytes(), 0o644)
}

func TestZZ(t *testing.T) {
	ks := kits(t, sample.Options{})
	dump(t, "a", &ks[0], kitlist.Settings{})
	dump(t, "letter", &ks[2], kitlist.Settings{Paper: paper.Letter, Notes: []string{"CSM 450 is a mat: the directions given for 6 plies are not used"}})
	ks = kits(t, sample.Options{Repeat: 7, Units: 1})
	dump(t, "big", &ks[0], kitlist.Settings{})
	ks = kits(t, sample.Options{Units: 1, Name: func(s string) string {
		return "<b>" + s + " Ωmega Жук 日本語 \u202e \n\"quoted\" and quite long, longer than any column could hold"
	}})
	dump(t, "odd", &ks[0], kitlist.Settings{})
	rec := sample.Record(sample.Options{Units: 1})
	rec.Fabrics = append(rec.Fabrics, shapes.Fabric{Name: "Foam 10", Construction: shapes.Core}, shapes.Fabric{Name: "Peel ply", Construction: shapes.Film})
	rec.Demand[4].Fabric, rec.Demand[11].Fabric = "Foam 10", "Peel ply"
	rec.Laminating.WorkingTime = 10
	rec.Laminating.MixLimit = 1
	rec.Laminating.Waste = .1
	rec.Layouts[0].Placed = rec.Layouts[0].Placed[1:]
	for i := range rec.Demand {
		if strings.HasPrefix(rec.Demand[i].Ply, "U03") {
			rec.Demand[i].Panel = &nest.Panel{Ply: "U03", Number: 1, Of: 2, Joint: "lap", Overlap: 50, Seams: []float64{200}, AxisDeg: 30}
		}
	}
	ks, err := kit.Build(rec)
	require.NoError(t, err)
	dump(t, "short", &ks[0], kitlist.Settings{})
	k := ks[3]
	one := *rec
	one.Demand = nil
	one.Layouts = rec.Layouts[:1]
	one.Layouts[0].Placed = nil
	one.Demand = append(one.Demand, k.Lines[0].Demand)
	one.Laminating = nil
	ks, err = kit.Build(&one)
	require.NoError(t, err)
	dump(t, "one", &ks[0], kitlist.Settings{})
}
