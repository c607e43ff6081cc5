package paper

import (
	"fmt"

	"github.com/boombuler/barcode/qr"
)

// QuietZone is the margin a QR code needs on every side, in modules
// (ISO/IEC 18004).
const QuietZone = 4

// leastModule is the module, mm, under which a code gives up some error
// correction to become coarser. Common practice, no source (C).
const leastModule = 0.33

// QR prints text as a QR code (ISO/IEC 18004, bytes, error correction level
// M, or L where modules of M would be too fine to print and read) in a square
// of a side, quiet zone included, and returns the side of one module, mm. Dark
// modules of a row are drawn as one rectangle.
func (d *Doc) QR(x, y, side float64, text string) (module float64, err error) {
	code, err := qr.Encode(text, qr.M, qr.Unicode)
	if err != nil {
		return 0, fmt.Errorf("QR code of %d bytes: %w", len(text), err)
	}
	if side/float64(code.Bounds().Dx()+2*QuietZone) < leastModule {
		if coarser, err := qr.Encode(text, qr.L, qr.Unicode); err == nil {
			code = coarser
		}
	}
	n := code.Bounds().Dx()
	module = side / float64(n+2*QuietZone)
	d.Fill(x, y, side, side, 1)
	d.brush(0)
	x += QuietZone * module
	y += QuietZone * module
	dark := func(i, j int) bool {
		r, _, _, _ := code.At(i, j).RGBA()
		return r < 0x8000
	}
	for j := range n {
		for i := 0; i < n; {
			if !dark(i, j) {
				i++
				continue
			}
			from := i
			for i < n && dark(i, j) {
				i++
			}
			d.pdf.Rect(x+float64(float64(from)*module), y+float64(float64(j)*module), float64(i-from)*module, module, "F")
		}
	}
	return module, nil
}
