package cutcase

import (
	"fmt"

	"github.com/paulmach/orb"

	"plyroom/nest"
	"plyroom/shapes"
)

// CheckMarks reports the first mark line of the record, slits aside, that the
// lines drawn by the pen do not give back within tol mm.
func CheckMarks(rec *nest.Record, l *nest.Layout, lines []orb.LineString, tol float64) error {
	found := 0
	for i := range l.Placed {
		p := &l.Placed[i]
		for _, d := range rec.Demand {
			for _, s := range rec.Shapes {
				if d.Key() != p.Key() || s.ID != d.Shape {
					continue
				}
				for _, m := range s.Marks {
					if m.Kind != shapes.MarkLine && m.Kind != shapes.MarkDatum {
						continue
					}
					found++
					if at, ok := covered(lay(m.Line, p), lines, tol); !ok {
						return fmt.Errorf("%s of %s is not drawn at %v", m.Kind, p.Key(), at)
					}
				}
			}
		}
	}
	if found == 0 {
		return fmt.Errorf("the record has no marks; this check shows nothing")
	}
	return nil
}
