package jobfile

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"plyroom/shapes"
	"plyroom/shapes/geom"
)

// everything is a job that uses every key at least once.
const everything = `# A job that states all a job can.
job: Nacelle cover, 6 kW turbine
revision: C
units: mm
date: 2026-11-30
currency: EUR
fabrics:
  - name: CSM 450
    construction: mat
    areal_mass: 1.5 oz/ft2
    glass_content: 0.31
    fibre_density: 2.54 g/cm3
    width: 50 in
    selvedge: 15
    faces: same
    price: 2.10
    delivery_length: 60 m
    rolls:
      - {roll: R-2207, lot: 2231-B, length: 42 m, flaws: [{from: 12 m, to: 12.3 m}, {from: 12200, to: 13000}, {from: 1 m, to: 2 m}]}
      - roll: R-2208
        mass: 24 kg
        width: 1250
        face_down: true
  - name: BX 600
    construction: biaxial
    layers: [{angle: 45, mass: 300}, {angle: -45, mass: 0.3 kg/m2}]
    layer_order: matters
    width: 1270
    price: {amount: 4.40, per: kg}
  - name: WR 600
    construction: plain
    areal_mass: 600
    width: 1250
    selvedge: 25
    balanced: true
    price: 3.20 per m
  - name: TW 280
    construction: twill
    areal_mass: 280
    width: 1000
    balanced: yes
    diagonal: free
    price: 190 per roll
    delivery_length: 50 m
    buying:
      sold_by: roll
      step: 2
      minimum: 2
      lead_time: 12
      price_breaks: [{from: 10, price: 170 per roll}, {from: 4, price: 180 per roll}]
      widths: [{width: 1270, delivery_length: 40 m, price: 5.5 per m}, {width: 1500}]
      orders: [{order: PO-118, length: 50 m, reserved: 10 m, due: 2026-12-04}]
    rolls:
      - {roll: R-5001, length: 20 m, received: 2026-03-01, reserved: 5 m, remnant: true}
  - name: UD 300
    construction: unidirectional
    areal_mass: 300
    width: 600
    warp_positions: [180, 0, -180]
  - name: SA 300
    construction: satin
    areal_mass: 300
    width: 1000
    faces: same
  - name: Peel ply
    construction: plain
    width: 1500
  - name: PVC 10
    construction: core
    width: 1200
  - name: PP 8H
    construction: satin
    areal_mass: 300
    width: 1000
    out_life: 10 d
    rolls: [{roll: R-9, out_used: 12 h, thaw: 360, expires: 2027-03-01}]
parts:
  - part: Upper shell
    units: 2
    revision: D
    outlines: upper-shell.dxf
    plies:
      - {order: 2, ply: U02, outline: SKIN, fabric: WR 600, direction: 225, tolerance: 3, split: {joint: lap, overlap: 40, min_panel: 200, stagger: 120, seams: [500, 900], allowed: true, min_saving: 150}}
      - {order: 1, ply: U01, outline: SKIN, fabric: CSM 450, direction: 30, tolerance: 5}
      - {order: 3, ply: U03, outline: CHEEK, fabric: WR 600, direction: 0, count: 2, opposite_hand: 1, trim: 5, bag: A, note: "left first"}
      - {order: 4, ply: U04, outline: SKIN, fabric: UD 300, direction: 90, split: allowed}
      - {order: 5, ply: U05, outline: SKIN, fabric: BX 600, direction: 0, split: lap 2 in}
      - {order: 6, ply: U06, outline: SKIN, fabric: Peel ply, direction: 0}
      - {order: 7, ply: U07, outline: SKIN, fabric: PVC 10}
  - part: Underside
    outlines:
      - upper-shell.dxf
      - {file: tapes.svg, revision: B, units: in, px_per_inch: 90, join: 0.2, close_gaps: 1, names: [text, layer], per_layer: true, viewed_from: above}
    viewed_from: tool_side
    ply_table: underside.csv
    stops: [3, {after: 1, reason: skin coat}]
cutting:
  gap: 3
  trim: 1
  angle_tolerance: 2
  end_allowance: 25
  table: {length: 6 m, width: 1600, kind: conveyor}
  layers: 2
  spreads: [[WR 600, CSM 450], [BX 600, BX 600]]
  min_remnant: 0.8 m
  chord_tolerance: 0.1
  ink: true
  one_lot_per_unit: true
  keep_together: all
  spread_policy: time
  rates: {cut: 20, lift: 3 s, spread: 10, layer: 0.4, layout: 90 s, roll_change: 4 min, walk: 12 s, labour: 52.5}
laminating:
  resin: vinyl ester
  working_time: 1 h
  plan_at: 0.75
  pace: 6 kg/h
  mix_limit: 5000 g
  resin_density: 1.18
  resin_price: 4.5
  waste: 0.1
  set_thickness: 4 mm
  cure: 3 h
  cure_after: 2 h
  shift: {start: 06:30, crews: 2, between_sets: 20, between_kits: 0.5 h, carry: 10, cut_from: "05:00", end: "15:30", days: [mon, tue, fri]}
`

const undersideCSV = `# revision: B
# written by hand
order;ply;outline;fabric;direction;count;split.joint;split.overlap;split.seams
1;X01;SKIN;CSM 450;;;;;
2;"X02";TAPE-1;WR 600;-45;2;lap;60 mm;10 20

3;X03;TAPE-2;UD 300;90;;butt;;
`

func TestEverything(t *testing.T) {
	job, problems := readText(everything, "underside.csv", undersideCSV)
	require.Empty(t, problems)
	require.NotNil(t, job)

	assert.Equal(t, "Nacelle cover, 6 kW turbine", job.Name)
	assert.Equal(t, "C", job.Revision)
	assert.Equal(t, "EUR", job.Currency)
	assert.Equal(t, "job.yaml", job.File)
	require.Len(t, job.Fabrics, 9)
	assert.Equal(t, shapes.Date("2026-11-30"), job.Date)
	assert.Equal(t, 14400.0, job.Fabrics[8].OutLife)
	assert.Equal(t, shapes.Roll{Name: "R-9", OutUsed: 720, Thaw: 360, Expires: "2027-03-01"}, job.Fabrics[8].Rolls[0])

	csm := job.Fabrics[0]
	assert.InDelta(t, 457.73, csm.ArealMass, 0.01)
	assert.Equal(t, 0.31, csm.GlassContent)
	assert.Equal(t, 2.54, csm.FibreDensity)
	assert.Equal(t, 1270.0, csm.Width)
	assert.Equal(t, 1240.0, csm.UsableWidth())
	assert.Equal(t, &shapes.Price{Amount: 2.1, Per: shapes.PerSquareMetre}, csm.Price)
	assert.Equal(t, 60000.0, csm.DeliveryLength)
	require.Len(t, csm.Rolls, 2)
	assert.Equal(t, shapes.Roll{Name: "R-2207", Lot: "2231-B", Length: 42000, Flaws: []shapes.Span{{From: 1000, To: 2000}, {From: 12000, To: 13000}}}, csm.Rolls[0])
	assert.True(t, csm.Rolls[1].FaceDown)
	assert.Equal(t, 1250.0, csm.Rolls[1].Width)
	// 24 kg / (0.45773 kg/m² · 1.25 m) = 41.946 m.
	assert.InDelta(t, 41946, csm.Rolls[1].Length, 1)

	bx := job.Fabrics[1]
	assert.Equal(t, []shapes.FabricLayer{{Angle: 45, Mass: 300}, {Angle: -45, Mass: 300}}, bx.Layers)
	assert.Equal(t, 600.0, bx.ArealMass)
	assert.Equal(t, 0.50, bx.GlassContent)
	assert.True(t, bx.LayerOrderMatters)
	assert.Equal(t, &shapes.Price{Amount: 4.4, Per: shapes.PerKilogram}, bx.Price)

	wr := job.Fabrics[2]
	assert.True(t, wr.Balanced)
	assert.Equal(t, 0.48, wr.GlassContent)
	assert.Equal(t, &shapes.Price{Amount: 3.2, Per: shapes.PerMetre}, wr.Price)

	tw := job.Fabrics[3]
	assert.True(t, tw.Balanced)
	assert.True(t, tw.DiagonalFree)
	assert.Equal(t, &shapes.Price{Amount: 190, Per: shapes.PerRoll}, tw.Price)

	assert.Equal(t, &shapes.Buying{Unit: shapes.PerRoll, Step: 2, Minimum: 2, LeadTime: 12,
		Breaks: []shapes.PriceBreak{{From: 4, Price: shapes.Price{Amount: 180, Per: shapes.PerRoll}}, {From: 10, Price: shapes.Price{Amount: 170, Per: shapes.PerRoll}}},
		Widths: []shapes.DeliveryWidth{{Width: 1270, DeliveryLength: 40000, Price: &shapes.Price{Amount: 5.5, Per: shapes.PerMetre}}, {Width: 1500}},
		Orders: []shapes.OpenOrder{{Name: "PO-118", Length: 50000, Reserved: 10000, Due: "2026-12-04"}}}, tw.Buying)
	assert.Equal(t, shapes.Roll{Name: "R-5001", Length: 20000, Received: "2026-03-01", Reserved: 5000, Remnant: true}, tw.Rolls[0])

	ud := job.Fabrics[4]
	assert.Equal(t, []shapes.FabricLayer{{Angle: 0, Mass: 300}}, ud.Layers)
	assert.Equal(t, []float64{0, 180}, ud.WarpPositions)
	assert.Equal(t, 0.55, ud.GlassContent)

	assert.Equal(t, shapes.DifferentFaces, job.Fabrics[5].Faces)
	assert.Zero(t, job.Fabrics[6].ArealMass)
	assert.Zero(t, job.Fabrics[6].GlassContent)
	assert.Zero(t, job.Fabrics[7].FibreDensity)

	upper := job.Parts[0]
	assert.Equal(t, 2, upper.Units)
	assert.Equal(t, "D", upper.Revision)
	require.Len(t, upper.Plies, 7)
	u01, u02, u03 := upper.Plies[0], upper.Plies[1], upper.Plies[2]
	assert.Equal(t, "U01", u01.Name, "plies are sorted by order")
	assert.Equal(t, 45.0, u02.Direction, "225 degrees is 45 as a line")
	assert.Equal(t, &shapes.Split{Joint: shapes.JointLap, Overlap: 40, MinPanel: 200, Stagger: 120, Seams: []float64{500, 900}, Allowed: true, MinSaving: 150}, u02.Split)
	assert.Same(t, wr, u02.Fabric)
	assert.Equal(t, "job.yaml", u02.File)
	assert.Equal(t, 83, u02.Line)
	assert.Equal(t, 1.0, u02.Trim)
	assert.Equal(t, 2, u03.Count)
	assert.Equal(t, 1, u03.OppositeHand)
	assert.Equal(t, 5.0, u03.Trim)
	assert.Equal(t, "A", u03.Bag)
	assert.Equal(t, "left first", u03.Note)
	assert.Equal(t, &shapes.Split{Joint: shapes.JointButt, MinPanel: 100, Stagger: 100, MinSaving: 100, Allowed: true}, upper.Plies[3].Split)
	assert.Equal(t, &shapes.Split{Joint: shapes.JointLap, Overlap: 50.8, MinPanel: 100, Stagger: 100, MinSaving: 100}, upper.Plies[4].Split)

	under := job.Parts[1]
	assert.Equal(t, 1, under.Units)
	assert.Equal(t, "B", under.Revision)
	require.Len(t, under.Plies, 3)
	assert.Equal(t, []shapes.Stop{{After: 1, Reason: "skin coat"}, {After: 3}}, under.Stops)
	assert.Empty(t, upper.Stops)
	x02 := under.Plies[1]
	assert.Equal(t, -45.0, x02.Direction)
	assert.Equal(t, 2, x02.Count)
	assert.Equal(t, &shapes.Split{Joint: shapes.JointLap, Overlap: 60, MinPanel: 100, Stagger: 100, MinSaving: 100, Seams: []float64{10, 20}}, x02.Split)
	assert.Equal(t, "underside.csv", x02.File)
	assert.Equal(t, 5, x02.Line)

	end := 930.0
	cutFrom := 300.0
	c := job.Cutting
	assert.Equal(t, shapes.Cutting{
		Gap: 3, Trim: 1, AngleTolerance: 2, EndAllowance: 25,
		Table:  &shapes.Table{Length: 6000, Width: 1600, Kind: shapes.Conveyor},
		Layers: 2, Spreads: [][]string{{"WR 600", "CSM 450"}, {"BX 600", "BX 600"}},
		MinRemnant: 800, ChordTolerance: 0.1, Ink: true,
		OneLotPerUnit: true, KeepTogether: []string{"Upper shell", "Underside"}, SpreadPolicy: shapes.SpreadTime,
		Rates: &shapes.Rates{Cut: 20, Lift: 0.05, Spread: 10, Layer: 0.4, Layout: 1.5, RollChange: 4, Walk: 0.2, Labour: 52.5},
	}, c)
	assert.Equal(t, &shapes.Laminating{
		Resin: "vinyl ester", WorkingTime: 60, PlanAt: 0.75, Pace: 6, MixLimit: 5,
		ResinDensity: 1.18, ResinPrice: &shapes.Price{Amount: 4.5, Per: shapes.PerKilogram}, Waste: 0.1,
		SetThickness: 4, Cure: 180, CureAfter: 120, Shift: &shapes.Shift{Start: 390, End: &end, Days: []string{"mon", "tue", "fri"}, Crews: 2, BetweenSets: 20, BetweenKits: 30, Carry: 10, CutFrom: &cutFrom},
	}, job.Laminating)
	assert.Equal(t, []string{
		`"SA 300" is a satin: its faces differ, whatever the job says, and its plies are not turned over`,
		`"Peel ply" states no areal mass: it is listed without fibre and resin`,
		`"CSM 450" is a mat and has no direction: what Upper shell, U01 states as direction or tolerance is not used`,
	}, job.Notes)
}

// A drawing seen from below is mirrored about the datum axis: the L, which
// stands on the axis, then hangs from it.
//
//	 _            ________
//	| |          |  _ _ _ |
//	| |______    | |
//	|________|   |_|
//	---------- datum axis
func TestViewedFromToolSide(t *testing.T) {
	job, problems := readText(everything, "underside.csv", undersideCSV)
	require.Empty(t, problems)
	above := job.Parts[0].Plies[0].Outline
	below := job.Parts[1].Plies[0].Outline
	overridden := job.Parts[1].Plies[1].Outline

	assert.Equal(t, above.Name, below.Name)
	assert.Equal(t, orb.Ring{{0, -300}, {100, -300}, {100, -100}, {400, -100}, {400, 0}, {0, 0}}, below.Exterior)
	assert.Positive(t, geom.SignedArea(below.Exterior), "an exterior runs counter-clockwise")
	assert.Negative(t, geom.SignedArea(below.Holes[0]), "a cut-out runs clockwise")
	assert.Equal(t, orb.LineString{{10, -10}, {30, -12}}, below.Marks[0].Line)
	assert.Equal(t, orb.Point{0, 0}, overridden.Exterior[0], "the file's own viewed_from goes before the part's")
	assert.Equal(t, orb.Point{0, 0}, above.Exterior[0], "the drawing itself is not changed")
}

const least = `job: J
fabrics: [{name: F, construction: plain, areal_mass: 600, width: 1000}]
parts: [{part: P, outlines: upper-shell.dxf, plies: [{order: 1, ply: A, outline: SKIN, fabric: F, direction: 0}]}]
`

func TestDefaults(t *testing.T) {
	job, problems := readText(least)
	require.Empty(t, problems)
	assert.Equal(t, shapes.Cutting{EndAllowance: 20, Layers: 1, MinRemnant: 500, ChordTolerance: geom.ChordDefault}, job.Cutting)
	assert.Nil(t, job.Laminating)
	f := job.Fabrics[0]
	assert.Equal(t, &shapes.Fabric{
		Name: "F", Construction: shapes.Plain, ArealMass: 600, GlassContent: 0.48, FibreDensity: 2.56,
		Width: 1000, Faces: shapes.SameFaces,
	}, f)
	p := job.Parts[0].Plies[0]
	assert.Equal(t, 1, p.Count)
	assert.Zero(t, p.OppositeHand)
	assert.Zero(t, p.Tolerance)
	assert.Nil(t, p.Split)
	assert.Empty(t, job.Notes)
}
