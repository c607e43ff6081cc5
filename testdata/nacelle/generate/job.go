package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
)

const nacelleHead = `# yaml-language-server: $schema=../../shapes/jobfile/job.schema.json
#
# Demo: nacelle cover and spinner of an invented 6 kW wind turbine.
# Written by testdata/nacelle/generate; every figure and price is invented.
job: Nacelle cover, 6 kW turbine
revision: C
units: mm
currency: EUR

fabrics:
  - name: CSM 300
    construction: mat
    areal_mass: 300 g/m2
    width: 1270
    selvedge: 15
    price: 1.55 # per m2
    delivery_length: 90 m
  - name: CSM 450
    construction: mat
    areal_mass: 450 g/m2
    glass_content: 0.30
    width: 1270
    selvedge: 15
    price: 2.10
    delivery_length: 60 m
    rolls:
      - {roll: R-2207, lot: 2231-B, length: 21 m, flaws: [{from: 7.4 m, to: 7.7 m}]}
      - {roll: R-2214, lot: 2236-A, length: 38 m}
  - name: WR 600
    construction: plain
    balanced: true
    areal_mass: 600 g/m2
    width: 1250
    selvedge: 20
    price: 2.75 per kg
    delivery_length: 55 m
    rolls:
      - {roll: R-3310, lot: 2240-A, length: 24 m}
      - {roll: R-3311, lot: 2240-A, mass: 30 kg}
  - name: BX 600
    construction: biaxial
    layers: # bottom to top, face up
      - {angle: 45, mass: 300}
      - {angle: -45, mass: 300}
    width: 1270
    selvedge: 15
    price: {amount: 5.10, per: m}
    rolls:
      - {roll: R-4102, lot: 2219-C, length: 46 m}
  - name: UD 300
    construction: unidirectional
    areal_mass: 300 g/m2
    width: 600
    selvedge: 5
    price: 4.20 per m2
    delivery_length: 100 m
  - name: Peel ply
    construction: plain
    width: 1520
    selvedge: 10
    price: 0.95

`

const nacelleFoot = `
cutting:
  gap: 3
  trim: 0
  angle_tolerance: 1
  end_allowance: 20
  table: {length: 6000, width: 1600, kind: static}
  layers: 2
  spreads:
    - [WR 600, CSM 450]
  min_remnant: 500
  spread_policy: recommended # or none, time, fabric
  rates: {cut: 15, lift: 2 s, spread: 8, layer: 30 s, layout: 2 min, roll_change: 3 min, walk: 15 s, labour: 40}

laminating:
  resin: vinyl ester
  working_time: 60 min
  plan_at: 0.75
  pace: 6 kg/h
  mix_limit: 5 kg
  resin_price: 4.80 per kg
  waste: 0.08
  set_thickness: 5 # mm laid at once, against heat of cure
  shift: {start: 07:30, end: 16:30, crews: 2, between_sets: 15 min, between_kits: 20 min, carry: 10 min}
`

func nacelleJob() []byte {
	var b bytes.Buffer
	b.WriteString(nacelleHead)
	b.WriteString("parts:\n")
	for _, p := range nacelle() {
		fmt.Fprintf(&b, "  - part: %s\n    units: 2\n    revision: %s\n", p.name, p.revision)
		if len(p.sheets) == 1 {
			fmt.Fprintf(&b, "    outlines: %s\n", p.sheets[0].file)
		} else {
			var files []string
			for _, s := range p.sheets {
				files = append(files, s.file)
			}
			fmt.Fprintf(&b, "    outlines: [%s]\n", strings.Join(files, ", "))
		}
		if p.stops != "" {
			fmt.Fprintf(&b, "    stops: %s\n", p.stops)
		}
		if p.table != "" {
			fmt.Fprintf(&b, "    ply_table: %s\n", p.table)
			continue
		}
		b.WriteString("    plies:\n")
		writePlies(&b, p.plies)
	}
	b.WriteString(nacelleFoot)
	return b.Bytes()
}

func writePlies(b *bytes.Buffer, plies []ply) {
	for i, p := range plies {
		fmt.Fprintf(b, "      - {order: %d, ply: %s, outline: %s, fabric: %s, direction: %s, tolerance: %s", i+1, p.name, p.outline, p.fabric, num(p.direction), num(p.tolerance))
		if p.count > 1 {
			fmt.Fprintf(b, ", count: %d", p.count)
		}
		if p.opposite > 0 {
			fmt.Fprintf(b, ", opposite_hand: %d", p.opposite)
		}
		if p.split != "" {
			fmt.Fprintf(b, ", split: %s", p.split)
		}
		if p.bag != "" {
			fmt.Fprintf(b, ", bag: %s", p.bag)
		}
		if p.note != "" {
			fmt.Fprintf(b, ", note: %q", p.note)
		}
		b.WriteString("}\n")
	}
}

// plyTable writes a part's plies as CSV.
func plyTable(p part) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# revision: %s\n", p.revision)
	w := csv.NewWriter(&b)
	rows := [][]string{{"order", "ply", "outline", "fabric", "direction", "tolerance", "count", "opposite_hand", "bag", "note"}}
	for i, p := range p.plies {
		rows = append(rows, []string{
			fmt.Sprint(i + 1), p.name, p.outline, p.fabric, num(p.direction), num(p.tolerance),
			fmt.Sprint(p.count), fmt.Sprint(p.opposite), p.bag, p.note,
		})
	}
	if err := w.WriteAll(rows); err != nil {
		panic(err) // a buffer takes everything
	}
	return b.Bytes()
}

const tooWideHead = `# yaml-language-server: $schema=../../shapes/jobfile/job.schema.json
#
# Demo of a refusal: the only ply, 2000 x 1600 mm, is too wide for its roll
# whichever way it is laid. With "split: lap 50 mm" it would be cut in panels.
job: Fairing, too wide
revision: A
units: mm
fabrics:
  - name: WR 600
    construction: plain
    balanced: true
    areal_mass: 600 g/m2
    width: 1270
    selvedge: 15
`

func tooWideJob() []byte {
	var b bytes.Buffer
	b.WriteString(tooWideHead)
	p := tooWide()
	fmt.Fprintf(&b, "parts:\n  - part: %s\n    units: 1\n    outlines: %s\n    plies:\n", p.name, p.sheets[0].file)
	writePlies(&b, p.plies)
	b.WriteString("cutting:\n  gap: 3\n  end_allowance: 20\n")
	return b.Bytes()
}
