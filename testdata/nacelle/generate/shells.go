package main

// The shells: developed shapes with curved ends, darts, vents and the hatch.

// hatch and tower are the openings that several shapes share.
func hatch(cx, cy float64) loop { return rounded(cx-230, cy-170, 460, 340, 40) }

func datum(x, y float64) line { return line{datumLine, []pt{{x, y}, {x + 120, y}}} }

func notch(x0, y0, x1, y1 float64) line { return line{notchLine, []pt{{x0, y0}, {x1, y1}}} }

func slit(x0, y0, x1, y1 float64) line { return line{slitLine, []pt{{x0, y0}, {x1, y1}}} }

func upperShapes() []shape {
	skin := from(60, 0).to(870, 0).to(900, 140).to(930, 0).to(1500, 0).
		arc(0.05, 2340, 170).arc(0.1, 2340, 980).arc(0.05, 1500, 1150).
		to(930, 1150).to(900, 1010).to(870, 1150).to(60, 1150).closeArc(0.1)
	fore := from(50, 0).to(560, 0).to(590, 120).to(620, 0).to(1180, 0).to(1180, 1150).
		to(620, 1150).to(590, 1030).to(560, 1150).to(50, 1150).closeArc(0.08)
	aft := from(0, 20).to(380, 20).arc(0.05, 1170, 160).arc(0.1, 1170, 970).arc(0.05, 380, 1110).to(0, 1110).close()
	return []shape{
		{name: "SKIN", outer: skin, holes: []loop{hatch(640, 575), slot(1650, 380, 300, 110), slot(1650, 770, 300, 110)},
			lines: []line{datum(1000, 575), notch(1900, 575, 1960, 575)}},
		{name: "SKIN-FORE", outer: fore, holes: []loop{hatch(640, 575)}, lines: []line{datum(180, 575)}},
		{name: "SKIN-AFT", outer: aft, holes: []loop{slot(420, 360, 300, 110), slot(420, 770, 300, 110)}, lines: []line{datum(40, 565)}},
		{name: "SADDLE", outer: from(40, 0).to(1360, 0).arc(0.04, 1400, 420).to(1400, 1200).arc(0.04, 1360, 1620).to(40, 1620).arc(0.04, 0, 1200).to(0, 420).closeArc(0.04),
			lines: []line{datum(640, 300), notch(700, 0, 700, 30)}},
		{name: "CROWN", outer: from(0, 60).arc(0.08, 2100, 100).to(2100, 240).arc(0.08, 0, 280).closeArc(-0.12),
			lines: []line{datum(200, 170)}},
		{name: "SHOULDER", outer: from(0, 0).to(1200, 0).arc(0.12, 1480, 260).to(1400, 380).arc(-0.06, 200, 330).closeArc(0.15),
			lines: []line{datum(260, 150), slit(420, 0, 420, 95), slit(760, 0, 760, 95)}},
		{name: "CHEEK", outer: from(0, 0).to(300, 0).to(320, 110).to(340, 0).to(640, 0).arc(0.2, 560, 400).arc(0.12, 160, 470).closeArc(0.1),
			lines: []line{datum(60, 200)}},
		{name: "TAIL-CAP", outer: from(0, 0).to(150, 0).to(165, 80).to(180, 0).to(340, 0).to(355, 80).to(370, 0).to(520, 0).to(520, 60).arc(0.8, 0, 60).close(),
			lines: []line{datum(200, 160)}, turn: 20},
		{name: "HATCH-RING", outer: rounded(0, 0, 600, 480, 60), holes: []loop{rounded(70, 70, 460, 340, 40)}, as: asLoose},
		{name: "VENT-RING", outer: slot(200, 105, 400, 210), holes: []loop{slot(200, 105, 300, 110)}, as: asLoose},
		{name: "FORE-BAND", outer: band(620, 530, 35, 145)},
		{name: "FLANGE-A", outer: poly(0, 0, 1180, 0, 1130, 70, 50, 70)},
		{name: "FLANGE-B", outer: poly(0, 0, 900, 0, 900, 70, 45, 70)},
		{name: "VENT-TAPE", outer: poly(0, 0, 320, 0, 320, 50, 0, 50)},
	}
}

func upperPatches() []shape {
	return []shape{
		{name: "HINGE-PATCH", outer: rounded(0, 0, 180, 110, 20), as: asBlock},
		{name: "LATCH-PATCH", outer: chamfered(140, 80, 15), as: asBlock},
		{name: "EYE-PATCH", outer: disc(80, 80, 80), holes: []loop{disc(80, 80, 16)}, as: asBlock},
		{name: "VENT-FILLER", outer: slot(140, 45, 280, 90), as: asBlock},
	}
}

func lowerShapes() []shape {
	belly := from(70, 0).to(1300, 0).to(1325, 110).to(1350, 0).to(1560, 0).arc(0.06, 2290, 190).
		arc(0.12, 2290, 950).arc(0.06, 1560, 1140).to(1350, 1140).to(1325, 1030).to(1300, 1140).
		to(70, 1140).closeArc(0.09)
	fore := from(60, 0).to(1000, 0).to(1000, 320).arc(-1, 1000, 800).to(1000, 1120).to(60, 1120).closeArc(0.08)
	aft := from(0, 0).to(420, 0).arc(0.06, 1180, 190).arc(0.12, 1180, 890).arc(0.06, 420, 1080).
		to(0, 1080).to(0, 780).arc(-1, 0, 300).close()
	return []shape{
		{name: "BELLY", outer: belly, holes: []loop{disc(980, 570, 240), disc(1900, 570, 30)},
			lines: []line{datum(400, 570), notch(60, 570, 110, 570)}},
		{name: "BELLY-FORE", outer: fore, lines: []line{datum(300, 560)}},
		{name: "BELLY-AFT", outer: aft, holes: []loop{disc(820, 540, 30)}, lines: []line{datum(420, 540)}},
		{name: "SIDE", outer: from(0, 40).arc(0.04, 1500, 0).to(2050, 120).arc(0.2, 1980, 330).arc(0.05, 600, 380).to(0, 300).closeArc(0.15),
			lines: []line{datum(300, 180), slit(900, 377, 900, 300)}},
		{name: "KEEL", outer: poly(0, 20, 180, 0, 1820, 0, 2000, 20, 2000, 130, 1820, 150, 180, 150, 0, 130)},
		{name: "KEEL-INNER", outer: poly(0, 15, 120, 0, 1380, 0, 1500, 15, 1500, 105, 1380, 120, 120, 120, 0, 105)},
		{name: "RIB", outer: poly(0, 0, 900, 0, 850, 130, 50, 130)},
		{name: "RIB-SHORT", outer: poly(0, 0, 520, 0, 470, 130, 50, 130)},
		{name: "LIP-TAPE", outer: poly(0, 0, 1100, 0, 1100, 60, 0, 60)},
		{name: "LOUVRE-FRAME", outer: rounded(0, 0, 400, 260, 30), holes: []loop{slot(200, 65, 300, 40), slot(200, 130, 300, 40), slot(200, 195, 300, 40)}},
		{name: "SUMP", outer: poly(90, 0, 350, 0, 350, 80, 440, 80, 440, 320, 350, 320, 350, 400, 90, 400, 90, 320, 0, 320, 0, 80, 90, 80),
			lines: []line{datum(130, 200)}, turn: 30},
		{name: "GUSSET", outer: from(0, 0).to(250, 0).arc(-0.15, 0, 210).close()},
		{name: "PAD", outer: poly(55, 0, 165, 0, 220, 95, 165, 190, 55, 190, 0, 95)},
	}
}

func lowerRings() []shape {
	return []shape{
		{name: "TOWER-RING", outer: disc(360, 360, 360), holes: []loop{disc(360, 360, 240)}, lines: []line{slit(600, 360, 720, 360)}, as: asLoose},
		{name: "TOWER-HALF", outer: band(380, 240, -4, 184), as: asLoose},
		{name: "DRAIN-PATCH", outer: rounded(0, 0, 120, 120, 20), holes: []loop{disc(60, 60, 30)}, as: asLoose},
		{name: "CABLE-COLLAR", outer: disc(100, 100, 100), holes: []loop{disc(100, 100, 45)}, as: asLoose},
	}
}

func bulkheadShapes() []shape {
	full := from(60, 0).to(1000, 0).arc(quarter, 1060, 60).to(1060, 420).arc(0.9, 0, 420).to(0, 60).closeArc(quarter)
	return []shape{
		{name: "BULKHEAD", outer: full, holes: []loop{disc(530, 470, 170), disc(220, 140, 35), disc(840, 140, 35), slot(530, 130, 220, 60)},
			lines: []line{datum(480, 230)}, as: asBlock},
		{name: "BULKHEAD-UPPER", outer: from(0, 0).to(360, 0).arc(-1, 700, 0).to(1060, 0).closeArc(0.9), as: asLoose},
		{name: "BULKHEAD-LOWER", outer: from(60, 0).to(1000, 0).arc(quarter, 1060, 60).to(1060, 470).to(700, 470).arc(-1, 360, 470).to(0, 470).to(0, 60).closeArc(quarter),
			holes: []loop{disc(220, 140, 35), disc(840, 140, 35), slot(530, 130, 220, 60)}, as: asLoose},
		{name: "SHAFT-RING", outer: disc(250, 250, 250), holes: []loop{disc(250, 250, 170)}, as: asLoose},
		{name: "CABLE-PAD", outer: chamfered(170, 120, 25), holes: []loop{disc(85, 60, 35)}, as: asBlock},
		{name: "STIFFENER", outer: poly(0, 0, 820, 0, 770, 110, 50, 110), as: asLoose},
		{name: "STIFFENER-SHORT", outer: poly(0, 0, 460, 0, 410, 110, 50, 110), as: asLoose},
		{name: "CORNER", outer: from(0, 0).to(320, 0).to(320, 85).to(125, 85).arc(-quarter, 85, 125).to(85, 280).to(0, 280).close(), as: asBlock},
		{name: "EDGE-BAND", outer: band(530, 450, 50, 130), as: asLoose},
		{name: "FOOT-TAPE", outer: poly(0, 0, 1000, 0, 1000, 65, 0, 65), as: asLoose},
	}
}
