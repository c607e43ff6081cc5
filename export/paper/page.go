package paper

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// A Size is a sheet, mm.
type Size struct {
	Name          string
	Width, Height float64
}

// Sheets in use: ISO 216 A4 and the North American letter format (8.5 × 11 in).
var (
	A4     = Size{"A4", 210, 297}
	Letter = Size{"Letter", 215.9, 279.4}
)

// ParseSize finds a sheet by name, in any case.
func ParseSize(name string) (Size, error) {
	for _, s := range []Size{A4, Letter} {
		if strings.EqualFold(name, s.Name) {
			return s, nil
		}
	}
	return Size{}, fmt.Errorf("no paper size %q; there are A4 and Letter", name)
}

// A Doc is a document under work. Use it from one goroutine.
type Doc struct {
	pdf     *fpdf.Fpdf
	size    Size
	missing map[rune]bool
}

// epoch stands for every date inside a document, so that equal content gives
// equal bytes.
var epoch = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

const family = "body"

// New starts a document of pages of one size; title goes into its properties.
func New(size Size, title string) *Doc {
	pdf := fpdf.NewCustom(&fpdf.InitType{
		OrientationStr: "P", UnitStr: "mm",
		Size: fpdf.SizeType{Wd: size.Width, Ht: size.Height},
	})
	pdf.SetCatalogSort(true)
	pdf.SetCreationDate(epoch)
	pdf.SetModificationDate(epoch)
	pdf.SetProducer("plyroom", true)
	pdf.SetMargins(0, 0, 0)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetCellMargin(0)
	pdf.AddUTF8FontFromBytes(family, "", goregular.TTF)
	pdf.AddUTF8FontFromBytes(family, "B", gobold.TTF)
	d := &Doc{pdf: pdf, size: size, missing: map[rune]bool{}}
	pdf.SetTitle(d.clean(title), true)
	return d
}

// Size is that of the pages.
func (d *Doc) Size() Size { return d.size }

// AddPage begins a page.
func (d *Doc) AddPage() {
	d.pdf.AddPage()
	d.pdf.SetLineJoinStyle("round")
}

// Missing lists the characters printed as Substitute so far, in order.
func (d *Doc) Missing() []rune {
	var out []rune
	for r := range d.missing {
		out = append(out, r)
	}
	slices.Sort(out)
	return out
}

// Write writes the finished document.
func (d *Doc) Write(w io.Writer) error { return d.pdf.Output(w) }
