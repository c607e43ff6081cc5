package drawing

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"strconv"
)

// binaryTail is what follows the program's name in the 22 bytes that open a
// binary DXF file.
var binaryTail = []byte(" Binary DXF\r\n\x1a\x00")

const binaryHead = 22

func isBinaryDXF(data []byte) bool {
	return len(data) >= binaryHead && bytes.Equal(data[binaryHead-len(binaryTail):binaryHead], binaryTail)
}

// A group is one group code with its value: text, or a number in binary files.
type group struct {
	code int
	text []byte  // of text values; aliases the file
	num  float64 // of binary numbers
	bin  bool    // num holds the value
}

func (g group) float() (float64, bool) {
	if g.bin {
		return g.num, true
	}
	v, err := strconv.ParseFloat(string(bytes.TrimSpace(g.text)), 64)
	if err != nil && !math.IsInf(v, 0) {
		return 0, false
	}
	return v, true
}

func (g group) int() (int, bool) {
	v, ok := g.float()
	if !ok || math.IsNaN(v) || math.Abs(v) > 1<<40 {
		return 0, false
	}
	return int(v), true
}

// groupReader walks the group codes of a DXF file in memory, comments (999)
// left out.
type groupReader struct {
	data   []byte
	at     int
	line   int // of the text form: the line of the last code read
	binary bool
	wide   bool // two-byte codes in the binary form
	err    error
	// one group may be put back
	last   group
	unread bool
}

func newGroupReader(data []byte) *groupReader {
	r := &groupReader{data: data}
	if isBinaryDXF(data) {
		r.binary = true
		r.at = binaryHead
		// The first group is 0 SECTION: with two-byte codes its second byte is
		// zero as well.
		r.wide = len(data) > binaryHead+1 && data[binaryHead+1] == 0
	}
	return r
}

// next returns the next group; ok is false at the end of the file or on a
// fault, which err then holds.
func (r *groupReader) next() (g group, ok bool) {
	if r.unread {
		r.unread = false
		return r.last, true
	}
	for r.err == nil {
		if r.binary {
			g, ok = r.nextBinary()
		} else {
			g, ok = r.nextText()
		}
		if !ok {
			return group{}, false
		}
		if g.code != 999 {
			r.last = g
			return g, true
		}
	}
	return group{}, false
}

func (r *groupReader) back() { r.unread = true }

func (r *groupReader) readLine() ([]byte, bool) {
	if r.at >= len(r.data) {
		return nil, false
	}
	rest := r.data[r.at:]
	// Lines end with CR LF, LF or a lone CR.
	i := 0
	for i < len(rest) && rest[i] != '\n' && rest[i] != '\r' {
		i++
	}
	line := rest[:i]
	if i+1 < len(rest) && rest[i] == '\r' && rest[i+1] == '\n' {
		i++
	}
	r.at += min(i+1, len(rest))
	r.line++
	return line, true
}

func (r *groupReader) nextText() (g group, ok bool) {
	line, ok := r.readLine()
	for ok && len(bytes.TrimSpace(line)) == 0 && r.blankTail() {
		line, ok = r.readLine()
	}
	if !ok {
		return g, false
	}
	text := bytes.TrimSpace(line)
	if len(text) == 0 || len(text) > 6 || !isInteger(text) {
		r.err = fmt.Errorf("expected a group code, found %q", clip(string(text)))
		return g, false
	}
	g.code, _ = strconv.Atoi(string(text))
	if g.text, ok = r.readLine(); !ok {
		r.err = fmt.Errorf("the file ends after group code %d", g.code)
		return g, false
	}
	if len(g.text) > MaxTextBytes {
		r.err = fmt.Errorf("a line is longer than %d bytes", MaxTextBytes)
		return g, false
	}
	return g, true
}

// blankTail reports whether only blank lines follow.
func (r *groupReader) blankTail() bool {
	return len(bytes.TrimSpace(r.data[r.at:min(len(r.data), r.at+256)])) == 0
}

// binaryKind is how the binary form stores the value of a code.
func binaryKind(code int) byte {
	switch {
	case code < 0:
		return 's'
	case code < 10:
		return 's'
	case code < 60:
		return 'd'
	case code < 80:
		return 'h'
	case code < 90:
		return 0
	case code < 100:
		return 'i'
	case code < 110:
		return 's'
	case code < 150:
		return 'd'
	case code < 160:
		return 0
	case code < 170:
		return 'l'
	case code < 180:
		return 'h'
	case code < 210:
		return 0
	case code < 240:
		return 'd'
	case code < 270:
		return 0
	case code < 290:
		return 'h'
	case code < 300:
		return 'b'
	case code < 310:
		return 's'
	case code < 320:
		return 'x'
	case code < 370:
		return 's'
	case code < 390:
		return 'h'
	case code < 400:
		return 's'
	case code < 410:
		return 'h'
	case code < 420:
		return 's'
	case code < 430:
		return 'i'
	case code < 440:
		return 's'
	case code < 460:
		return 'i'
	case code < 470:
		return 'd'
	case code < 482:
		return 's'
	case code == 999:
		return 's'
	case code == 1004:
		return 'x'
	case code >= 1000 && code < 1010:
		return 's'
	case code >= 1010 && code < 1060:
		return 'd'
	case code >= 1060 && code < 1071:
		return 'h'
	case code == 1071:
		return 'i'
	}
	return 0
}

func (r *groupReader) nextBinary() (g group, ok bool) {
	if r.at >= len(r.data) {
		return g, false
	}
	fail := func(format string, args ...any) (group, bool) {
		r.err = fmt.Errorf("at byte %d: "+format, append([]any{r.at}, args...)...)
		return group{}, false
	}
	rest := r.data[r.at:]
	head := 1
	switch {
	case r.wide:
		if len(rest) < 2 {
			return g, false
		}
		g.code, head = int(int16(binary.LittleEndian.Uint16(rest))), 2
	case rest[0] == 255:
		if len(rest) < 3 {
			return fail("the file ends within a group code")
		}
		g.code, head = int(int16(binary.LittleEndian.Uint16(rest[1:]))), 3
	default:
		g.code = int(rest[0])
	}
	rest = rest[head:]
	size := 0
	kind := binaryKind(g.code)
	switch kind {
	case 's':
		i := bytes.IndexByte(rest[:min(len(rest), MaxTextBytes+1)], 0)
		if i < 0 {
			return fail("the text of group code %d has no end", g.code)
		}
		g.text = rest[:i]
		r.at += head + i + 1
		return g, true
	case 'x':
		if len(rest) < 1 || len(rest) < 1+int(rest[0]) {
			return fail("the file ends within group code %d", g.code)
		}
		r.at += head + 1 + int(rest[0])
		return g, true
	case 'b':
		size = 1
	case 'h':
		size = 2
	case 'i':
		size = 4
	case 'd', 'l':
		size = 8
	default:
		return fail("unknown group code %d", g.code)
	}
	if len(rest) < size {
		return fail("the file ends within group code %d", g.code)
	}
	g.bin = true
	switch kind {
	case 'b':
		g.num = float64(rest[0])
	case 'h':
		g.num = float64(int16(binary.LittleEndian.Uint16(rest)))
	case 'i':
		g.num = float64(int32(binary.LittleEndian.Uint32(rest)))
	case 'l':
		g.num = float64(int64(binary.LittleEndian.Uint64(rest)))
	case 'd':
		g.num = math.Float64frombits(binary.LittleEndian.Uint64(rest))
	}
	r.at += head + size
	return g, true
}
