package drawing_test

import (
	"fmt"
	"strings"

	"plyroom/shapes/drawing"
)

func ExampleReadFrom() {
	svg := `<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200">
	<g id="CHEEK">
	  <path d="M20 20 H220 A60 60 0 0 1 220 140 H20 Z M60 60 v40 h40 v-40 Z"/>
	  <path id="datum" d="M40 80 H55"/>
	</g>
	<path id="LIP" d="M20 160 H120 V180 H20 V160.4"/>
	</svg>`
	d, err := drawing.ReadFrom(strings.NewReader(svg), "cheek.svg", drawing.Options{})
	for _, o := range d.Outlines {
		fmt.Printf("%s: %.0f mm², %.0f mm round, %d cut-outs, %d marks\n", o.Name, o.Area, o.Perimeter, len(o.Holes), len(o.Marks))
	}
	for _, p := range d.Problems {
		fmt.Println(p.Severity, p.Error())
	}
	fmt.Println(err)
	// Output:
	// CHEEK: 28055 mm², 868 mm round, 1 cut-outs, 1 marks
	// LIP: 2000 mm², 240 mm round, 0 cut-outs, 0 marks
	// repair cheek.svg:6: path LIP, at (20, 160): a gap of 0.4 mm was closed
	// <nil>
}
