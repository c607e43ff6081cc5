package main

// Spinner, backplate and hatch lid, drawn with curves.

func spinnerShapes() []shape {
	return []shape{
		{name: "GORE", outer: from(0, 90).curve(140, 20, 330, -10, 620, 0).to(620, 250).curve(330, 260, 140, 230, 0, 160).close(),
			lines: []line{datum(420, 125), notch(600, 125, 620, 125)}},
		{name: "GORE-INNER", outer: from(0, 85).curve(130, 20, 310, -5, 590, 0).to(590, 225).curve(310, 230, 130, 205, 0, 140).close()},
		{name: "GORE-HALF", outer: from(0, 0).to(600, 0).to(600, 130).curve(340, 140, 150, 110, 0, 40).close(),
			lines: []line{datum(420, 60)}},
		{name: "NOSE-DISC", outer: toothed(140, 6, 22, 75)},
		{name: "NOSE-PATCH", outer: disc(70, 70, 70)},
		{name: "BLADE-RING", outer: disc(160, 160, 160), holes: []loop{disc(160, 160, 110)}, lines: []line{slit(270, 160, 320, 160)}},
		{name: "BLADE-PAD", outer: from(0, 90).curve(0, 20, 70, 0, 130, 0).curve(200, 0, 280, 40, 280, 90).curve(280, 140, 200, 180, 130, 180).closeCurve(70, 180, 0, 160),
			holes: []loop{disc(125, 90, 50)}, lines: []line{{datumLine, []pt{{190, 90}, {260, 90}}}}, turn: -35},
		{name: "RIM-BAND", outer: band(420, 360, 40, 140)},
		{name: "SEAM-TAPE", outer: from(0, 0).curve(200, 22, 420, 22, 600, 0).to(600, 45).curve(420, 67, 200, 67, 0, 45).close()},
		{name: "SEAM-TAPE-SHORT", outer: from(0, 0).curve(140, 14, 280, 14, 420, 0).to(420, 45).curve(280, 59, 140, 59, 0, 45).close()},
		{name: "BLADE-COLLAR", outer: from(0, 0).to(165, 0).to(175, 30).to(185, 0).to(345, 0).to(355, 30).to(365, 0).to(530, 0).to(540, 30).to(550, 0).to(700, 0).
			to(700, 80).curve(600, 110, 500, 110, 350, 80).curve(200, 50, 100, 50, 0, 80).close()},
	}
}

func plateShapes() []shape {
	// Three scallops clear the blades.
	const r, half = 390.0, 17.0
	first := polar(r, half)
	plate := from(first.x, first.y)
	for i := 1; i <= 3; i++ {
		in, out := polar(r, float64(120*i)-half), polar(r, float64(120*i)+half)
		plate.arc(bulgeOf(120-2*half), in.x, in.y)
		if i < 3 {
			plate.arc(-0.7, out.x, out.y)
		}
	}
	holes := []loop{disc(0, 0, 95)}
	for i := range 6 {
		c := polar(150, float64(60*i+30))
		holes = append(holes, disc(c.x, c.y, 12))
	}
	return []shape{
		{name: "PLATE", outer: plate.closeArc(-0.7), holes: holes, lines: []line{datum(-300, 0)}},
		{name: "PLATE-SEGMENT", outer: band(385, 95, 2, 118)},
		{name: "HUB-RING", outer: disc(190, 190, 190), holes: []loop{disc(190, 190, 95)}},
		{name: "RIM-SECTOR", outer: band(390, 330, 60, 120)},
		{name: "SPOKE", outer: from(0, 0).curve(60, 0, 80, 18, 150, 18).curve(220, 18, 240, 0, 300, 0).to(300, 80).curve(240, 80, 220, 62, 150, 62).curve(80, 62, 60, 80, 0, 80).close(),
			lines: []line{datum(90, 40)}},
		{name: "SPOKE-CAP", outer: from(0, 0).to(100, 0).curve(140, 0, 160, 20, 160, 45).curve(160, 70, 140, 90, 100, 90).to(0, 90).close()},
		{name: "BOLT-PAD", outer: from(0, 40).curve(0, 15, 20, 0, 42, 0).curve(70, 0, 95, 25, 115, 40).curve(95, 55, 70, 80, 42, 80).closeCurve(20, 80, 0, 65),
			holes: []loop{disc(42, 40, 12)}},
		{name: "EDGE-STRIP", outer: poly(0, 0, 810, 0, 810, 40, 0, 40)},
	}
}

func lidShapes() []shape {
	return []shape{
		{name: "LID", outer: from(30, 20).curve(200, 0, 420, 0, 590, 20).to(560, 60).to(600, 30).curve(620, 170, 620, 330, 600, 470).to(560, 440).to(590, 480).
			curve(420, 500, 200, 500, 30, 480).to(60, 440).to(20, 470).curve(0, 330, 0, 170, 20, 30).to(60, 60).close(),
			lines: []line{datum(240, 250)}},
		{name: "LID-INNER", outer: rounded(0, 0, 560, 440, 50), lines: []line{notch(280, 0, 280, 25)}},
		{name: "LID-RIB", outer: poly(0, 0, 480, 0, 440, 90, 40, 90)},
		{name: "GRIP-PATCH", outer: ellipse(90, 45, 90, 45)},
		{name: "SEAL-BAND", outer: from(0, 0).to(60, 0).to(60, 300).arc(-quarter, 120, 360).to(400, 360).arc(-quarter, 460, 300).to(460, 0).to(520, 0).
			to(520, 320).arc(quarter, 420, 420).to(100, 420).arc(quarter, 0, 320).close()},
		{name: "LID-TAPE", outer: poly(0, 0, 540, 0, 540, 55, 0, 55)},
	}
}
