package labels

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"plyroom/nest/kit"
)

// Version is the first field of a ply's code, BagVersion that of a bag's.
const (
	Version    = "PLYROOM1"
	BagVersion = "PLYROOM1BAG"
)

// longest is how many bytes a field may have.
const longest = 48

// Code is the text in the QR code of a ply's tag; see the package's
// documentation.
func Code(k *kit.Kit, l *kit.Line) string {
	lot, layout := "", ""
	if l.Place != nil {
		lot, layout = l.Place.Lot, l.Place.Layout
	}
	return join(Version, k.Job, k.Revision, k.Part, strconv.Itoa(k.Unit), strconv.Itoa(l.Demand.Order),
		l.Demand.Ply, strconv.Itoa(l.Demand.Copy), l.Fabric.Name, lot, layout)
}

// BagCode is the text in the QR code of a bag sheet.
func BagCode(k *kit.Kit, b *kit.Bag) string {
	return join(BagVersion, k.Job, k.Revision, k.Part, strconv.Itoa(k.Unit), strconv.Itoa(b.Number), strconv.Itoa(b.Pieces))
}

func join(fields ...string) string {
	for i, f := range fields {
		fields[i] = escape(f)
	}
	return strings.Join(fields, "|")
}

// escape makes a field safe between separators and short enough.
func escape(s string) string {
	var b strings.Builder
	cut := -1 // length that still leaves room for the ellipsis
	for _, r := range strings.ToValidUTF8(s, string(utf8.RuneError)) {
		if b.Len() <= longest-len("…") {
			cut = b.Len()
		}
		if r == '|' || r == '%' || r < 0x20 || r >= 0x7f && r < 0xa0 {
			for _, c := range []byte(string(r)) {
				fmt.Fprintf(&b, "%%%02X", c)
			}
		} else {
			b.WriteRune(r)
		}
	}
	if b.Len() > longest {
		return b.String()[:cut] + "…"
	}
	return b.String()
}
