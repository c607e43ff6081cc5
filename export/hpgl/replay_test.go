package hpgl_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// A plotter interprets plotter language: it knows nothing of the writer.
type plotter struct {
	x, y     int
	down     bool
	absolute bool
	pen      int
	// lines are what each pen drew without lifting, in plotter units, in
	// order.
	lines    []drawn
	fresh    bool
	texts    []string
	comments []string
	lifts    int
	arcs     int
	speed    float64 // as last set, 0 for the machine's own
}

type drawn struct {
	pen  int
	line orb.LineString
}

// replay runs a file and reports the first thing a plotter would not take.
func replay(src string) (*plotter, error) {
	p := &plotter{fresh: true}
	for i := 0; i < len(src); {
		c := src[i]
		switch {
		case c == '\n' || c == '\r' || c == ' ' || c == ';':
			i++
			continue
		case i+1 >= len(src) || c < 'A' || c > 'Z':
			return nil, fmt.Errorf("byte %d: %q begins no instruction", i, src[i:min(len(src), i+20)])
		}
		op := src[i : i+2]
		i += 2
		switch op {
		case "LB":
			end := strings.IndexByte(src[i:], 3)
			if end < 0 {
				return nil, fmt.Errorf("label without end")
			}
			p.texts = append(p.texts, src[i:i+end])
			i += end + 1
			continue
		case "CO":
			if i >= len(src) || src[i] != '"' {
				return nil, fmt.Errorf("comment without quotes")
			}
			end := strings.IndexByte(src[i+1:], '"')
			if end < 0 {
				return nil, fmt.Errorf("comment without end")
			}
			p.comments = append(p.comments, src[i+1:i+1+end])
			i += end + 2
			continue
		}
		end := strings.IndexByte(src[i:], ';')
		if end < 0 {
			return nil, fmt.Errorf("%s without end", op)
		}
		var args []float64
		if body := strings.TrimSpace(src[i : i+end]); body != "" {
			for _, s := range strings.Split(body, ",") {
				v, err := strconv.ParseFloat(s, 64)
				if err != nil {
					return nil, fmt.Errorf("%s: %w", op, err)
				}
				args = append(args, v)
			}
		}
		i += end + 1
		if err := p.do(op, args); err != nil {
			return nil, err
		}
	}
	return p, nil
}

func (p *plotter) do(op string, args []float64) error {
	switch op {
	case "IN":
		*p = plotter{fresh: true, comments: p.comments}
	case "PA":
		p.absolute = true
		return p.moveAll(args)
	case "PU":
		if p.down {
			p.lifts++
		}
		p.down, p.fresh = false, true
		return p.moveAll(args)
	case "PD":
		p.down = true
		return p.moveAll(args)
	case "VS":
		if len(args) != 1 || args[0] <= 0 {
			return fmt.Errorf("VS%v", args)
		}
		p.speed = args[0]
	case "AA":
		return p.arc(args)
	case "SP":
		if len(args) != 1 {
			return fmt.Errorf("SP with %d arguments", len(args))
		}
		p.pen, p.fresh = int(args[0]), true
	case "SI", "DI", "LO", "NR":
	default:
		return fmt.Errorf("unknown instruction %s", op)
	}
	return nil
}

func (p *plotter) moveAll(args []float64) error {
	if len(args)%2 != 0 {
		return fmt.Errorf("odd count of coordinates")
	}
	for i := 0; i < len(args); i += 2 {
		if !p.absolute {
			return fmt.Errorf("move before PA")
		}
		x, y := int(args[i]), int(args[i+1])
		if float64(x) != args[i] || float64(y) != args[i+1] {
			return fmt.Errorf("coordinate %g,%g is no integer", args[i], args[i+1])
		}
		if p.down {
			if p.pen == 0 {
				return fmt.Errorf("drawing without a pen")
			}
			if p.fresh {
				p.lines = append(p.lines, drawn{p.pen, orb.LineString{{float64(p.x), float64(p.y)}}})
				p.fresh = false
			}
			d := &p.lines[len(p.lines)-1]
			d.line = append(d.line, orb.Point{float64(x), float64(y)})
		}
		p.x, p.y = x, y
	}
	return nil
}

// arc draws AA: about a centre, by an angle counter-clockwise, in chords of a
// chord angle. The pen ends where the plotter's arithmetic leaves it, not on a
// whole unit.
func (p *plotter) arc(args []float64) error {
	if len(args) != 4 || !p.absolute || !p.down || p.pen == 0 {
		return fmt.Errorf("AA with %d arguments, pen %d, down %v", len(args), p.pen, p.down)
	}
	if args[0] != math.Trunc(args[0]) || args[1] != math.Trunc(args[1]) || math.Abs(args[2]) > 360 || args[3] < 0.5 || args[3] > 180 {
		return fmt.Errorf("AA%v is out of range", args)
	}
	if p.fresh {
		p.lines = append(p.lines, drawn{p.pen, orb.LineString{{float64(p.x), float64(p.y)}}})
		p.fresh = false
	}
	p.arcs++
	d := &p.lines[len(p.lines)-1]
	x, y := float64(p.x)-args[0], float64(p.y)-args[1]
	for n, i := math.Ceil(math.Abs(args[2])/args[3]), 1.0; i <= n; i++ {
		s, c := math.Sincos(args[2] * i / n * math.Pi / 180)
		d.line = append(d.line, orb.Point{args[0] + x*c - y*s, args[1] + x*s + y*c})
	}
	end := d.line[len(d.line)-1]
	p.x, p.y = int(math.Round(end[0])), int(math.Round(end[1]))
	return nil
}
