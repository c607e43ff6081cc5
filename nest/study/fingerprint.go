package study

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"

	"plyroom/shapes"
)

// A hasher fingerprints jobs. Outlines, which all clones of a job share, are
// hashed once.
type hasher struct {
	outlines map[*shapes.Outline]string
}

// outline digests all that can matter of an outline.
func (h *hasher) outline(o *shapes.Outline) string {
	if d, ok := h.outlines[o]; ok {
		return d
	}
	s := sha256.New()
	encode(s, o.Name, o.Exterior, o.Holes, o.Marks)
	d := hex.EncodeToString(s.Sum(nil))
	h.outlines[o] = d
	return d
}

// job digests everything that decides what plan a job gets. Stock does not:
// studies take as much fabric as they need.
func (h *hasher) job(j *shapes.Job) string {
	s := sha256.New()
	encode(s, j.Name, j.Revision, j.Currency, j.Cutting, j.Laminating)
	for _, f := range j.Fabrics {
		g := *f
		g.Rolls = nil
		encode(s, g)
	}
	for _, p := range j.Parts {
		encode(s, p.Name, p.Units, p.Revision)
		for _, d := range p.Plies {
			encode(s, d.Order, d.Name, h.outline(d.Outline), d.Fabric.Name, d.Direction, d.Tolerance,
				d.Count, d.OppositeHand, d.Trim, d.Split)
		}
	}
	return hex.EncodeToString(s.Sum(nil))
}

func encode(w io.Writer, vs ...any) {
	enc := json.NewEncoder(w)
	for _, v := range vs {
		if err := enc.Encode(v); err != nil {
			// Figures of a read job are finite; one made by hand may not be.
			fmt.Fprintf(w, "%v\n", v)
		}
	}
}
