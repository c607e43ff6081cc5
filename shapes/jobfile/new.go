package jobfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"plyroom/shapes"
	"plyroom/shapes/drawing"
)

// A Sheet is a drawing that a job is started from.
type Sheet struct {
	// Path is the drawing's path, relative to the job file to be written.
	Path string
	// Options are how it was read; the job says so where they are not zero.
	Options drawing.Options
	// Outlines are what was read from it.
	Outlines []*shapes.Outline
}

// New starts a job from drawings: valid YAML with a part for each drawing,
// every outline as a ply of a fabric that stands in for the real one, and
// remarks on what to change. An error says that a drawing holds no outline, or
// comes from w.
func New(w io.Writer, name string, sheets []Sheet) error {
	if len(sheets) == 0 {
		return errors.New("a job starts from at least one drawing")
	}
	if name = strings.TrimSpace(name); !nameable(name) {
		name = "New job"
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, newHead, scalar(name), newFabric())
	parts := map[string]bool{}
	for _, s := range sheets {
		if err := writeNewPart(&b, s, parts); err != nil {
			return err
		}
	}
	b.WriteString(newFoot)
	_, err := w.Write(b.Bytes())
	return err
}

const newHead = `# A job started from drawings. Lines marked CHANGE hold figures that only
# stand in for yours.
job: %s
revision: A
units: mm # of lengths in this file; drawings state their own

fabrics:
%s    # balanced: true            # where warp and weft carry the same
    # price: 2.10               # per m2
    # rolls: [{roll: R-1, lot: L-1, length: 40 m}]

parts:
`

const newFoot = `
cutting:
  gap: 3 # between plies
  end_allowance: 20 # at each end of a layout
  # table: {length: 6000, width: 1600, kind: static}
`

func writeNewPart(b *bytes.Buffer, s Sheet, parts map[string]bool) error {
	path := filepath.ToSlash(s.Path)
	var plies, left []string
	drawn := map[string]int{}
	for _, o := range s.Outlines {
		drawn[o.Name]++
	}
	for _, o := range s.Outlines {
		switch {
		case drawn[o.Name] > 1:
			// A ply could not say which of them it means.
			left = append(left, fmt.Sprintf("%s, which is drawn %d times", quote(o.Name), drawn[o.Name]))
			drawn[o.Name] = -1
		case drawn[o.Name] < 0:
		case !nameable(o.Name):
			left = append(left, fmt.Sprintf("%s, a name that cannot be used", quote(o.Name)))
		default:
			plies = append(plies, fmt.Sprintf("{order: %d, ply: P%02d, outline: %s, fabric: %s, direction: 0}",
				len(plies)+1, len(plies)+1, scalar(o.Name), standIns[0].value))
		}
	}
	if len(plies) == 0 {
		return fmt.Errorf("drawing %s holds no outline to list", quote(path))
	}
	fmt.Fprintf(b, "  - part: %s # CHANGE\n    units: 1\n    outlines: %s\n    plies: # CHANGE fabrics and directions; 1 is laid first, against the tool\n",
		scalar(partName(path, parts)), newOutlines(path, s.Options))
	for _, p := range plies {
		fmt.Fprintf(b, "      - %s\n", p)
	}
	for _, l := range left {
		fmt.Fprintf(b, "      # not listed: %s\n", l)
	}
	return nil
}

// partName is the drawing's file name without its ending, different from every
// other part's.
func partName(path string, parts map[string]bool) string {
	base := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	if base = strings.TrimSpace(base); !nameable(base) {
		base = "Part"
	}
	name := base
	for i := 2; parts[name]; i++ {
		name = fmt.Sprintf("%s %d", base, i)
	}
	parts[name] = true
	return name
}

// newOutlines is a drawing's entry, with how it was read.
func newOutlines(path string, opt drawing.Options) string {
	var more []string
	add := func(key, value string) { more = append(more, key+": "+value) }
	if opt.Unit != "" {
		add("units", opt.Unit)
	}
	if opt.PxPerInch != 0 {
		add("px_per_inch", plainFigure(opt.PxPerInch))
	}
	if opt.Join != 0 {
		add("join", plainFigure(opt.Join))
	}
	if opt.Gap != 0 {
		add("close_gaps", plainFigure(max(0, opt.Gap)))
	}
	if len(opt.Names) > 0 {
		names := make([]string, len(opt.Names))
		for i, n := range opt.Names {
			names[i] = string(n)
		}
		add("names", "["+strings.Join(names, ", ")+"]")
	}
	if opt.PerLayer {
		add("per_layer", "true")
	}
	if len(more) == 0 {
		return scalar(path)
	}
	return "{file: " + scalar(path) + ", " + strings.Join(more, ", ") + "}"
}

// nameable says whether a name can stand in a job as it is.
func nameable(name string) bool {
	return name != "" && len(name) <= maxName && strings.TrimSpace(name) == name &&
		strings.ToValidUTF8(name, "") == name &&
		!strings.ContainsFunc(name, func(c rune) bool { return unicode.IsControl(c) || breaks(c) || overrides(c) })
}

// plainScalar matches texts that YAML takes as texts without quotes, inside
// braces too. Words that could be taken for something else begin with what it
// leaves out, or are listed below.
var plainScalar = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_./-]*( [A-Za-z0-9_./-]+)*$`)

var notPlain = map[string]bool{"true": true, "false": true, "yes": true, "no": true, "on": true, "off": true, "null": true, "y": true, "n": true, "nan": true, "inf": true}

// scalar writes a text as YAML.
func scalar(text string) string {
	if plainScalar.MatchString(text) && !notPlain[strings.ToLower(text)] {
		return text
	}
	return strconv.Quote(text)
}
