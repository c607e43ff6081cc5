package main

// A ply is one line of a lay-up.
type ply struct {
	name      string
	outline   string
	fabric    string
	direction float64
	tolerance float64
	count     int
	opposite  int
	bag       string
	note      string
	// split is how the ply may be divided, as the job file writes it; empty
	// for a ply that stays whole.
	split string
}

// A part is one mould's lay-up with its drawings.
type part struct {
	name     string
	revision string
	sheets   []sheet
	// table is the CSV file that holds the plies, or empty for the job file.
	table string
	plies []ply
	// stops are the planned pauses of the lay-up, as the job file writes them;
	// may be empty.
	stops string
}

// Invented fabrics of the demo.
const (
	csm300 = "CSM 300"
	csm450 = "CSM 450"
	wr600  = "WR 600"
	bx600  = "BX 600"
	ud300  = "UD 300"
	peel   = "Peel ply"
)

func nacelle() []part {
	return []part{upperShell(), lowerShell(), spinner(), backplate(), bulkhead(), lid()}
}

func upperShell() part {
	return part{
		name: "Upper shell", revision: "C", stops: "[{after: 1, reason: skin coat}]",
		sheets: []sheet{{"upper-shell.dxf", upperShapes()}, {"upper-patches.dxf", upperPatches()}},
		plies: []ply{
			{"U01", "SKIN", csm300, 0, 10, 1, 0, "A", "against the gelcoat, no air at the darts", ""},
			{"U02", "SKIN", csm450, 0, 10, 1, 0, "A", "", ""},
			{"U03", "SHOULDER", csm450, 0, 10, 2, 1, "A", "", ""},
			{"U04", "SKIN", wr600, 0, 3, 1, 0, "A", "", ""},
			{"U05", "SKIN-FORE", bx600, 0, 3, 1, 0, "B", "butts U06 at frame 3", ""},
			{"U06", "SKIN-AFT", bx600, 0, 3, 1, 0, "B", "", ""},
			{"U07", "CHEEK", wr600, 45, 3, 2, 1, "B", "", ""},
			{"U08", "CROWN", ud300, 0, 2, 1, 0, "C", "rolled, never folded", ""},
			{"U09", "FLANGE-A", wr600, 45, 3, 2, 0, "C", "", ""},
			{"U10", "FLANGE-B", bx600, 0, 5, 2, 0, "C", "", ""},
			{"U11", "HATCH-RING", csm450, 0, 10, 1, 0, "D", "", ""},
			{"U12", "HATCH-RING", wr600, 0, 5, 1, 0, "D", "", ""},
			{"U13", "VENT-RING", csm450, 0, 10, 2, 0, "D", "", ""},
			{"U14", "VENT-RING", wr600, 45, 5, 2, 0, "D", "", ""},
			{"U15", "VENT-TAPE", csm300, 0, 10, 4, 0, "D", "", ""},
			{"U16", "FORE-BAND", bx600, 90, 5, 2, 0, "C", "", ""},
			{"U17", "TAIL-CAP", csm450, 0, 10, 1, 0, "D", "", ""},
			{"U18", "TAIL-CAP", wr600, 30, 3, 1, 0, "D", "", ""},
			{"U19", "HINGE-PATCH", wr600, 45, 5, 2, 0, "D", "", ""},
			{"U20", "HINGE-PATCH", ud300, 90, 2, 2, 0, "D", "", ""},
			{"U21", "LATCH-PATCH", csm450, 0, 10, 2, 0, "D", "", ""},
			{"U22", "EYE-PATCH", wr600, 0, 5, 2, 0, "D", "", ""},
			{"U23", "EYE-PATCH", wr600, 45, 5, 2, 0, "D", "", ""},
			{"U24", "VENT-FILLER", csm450, 0, 10, 2, 0, "D", "trimmed out after cure", ""},
			{"U25", "SADDLE", wr600, 0, 3, 1, 0, "E", "over frames 2 to 4", "lap 50 mm"},
			{"U26", "SADDLE", csm450, 0, 10, 1, 0, "E", "seam beside that of U25, never over it", "lap 50 mm"},
			{"U27", "SKIN", csm450, 0, 10, 1, 0, "E", "closes the laminate", ""},
			{"U28", "FLANGE-A", peel, 0, 5, 2, 0, "E", "pull before bonding", ""},
		},
	}
}

func lowerShell() part {
	return part{
		name: "Lower shell", revision: "C", table: "lower-shell.csv",
		sheets: []sheet{{"lower-shell.dxf", lowerShapes()}, {"lower-rings.dxf", lowerRings()}},
		plies: []ply{
			{"L01", "BELLY", csm300, 0, 10, 1, 0, "A", "against the gelcoat", ""},
			{"L02", "BELLY", csm450, 0, 10, 1, 0, "A", "", ""},
			{"L03", "SIDE", csm450, 0, 10, 2, 1, "A", "", ""},
			{"L04", "BELLY", wr600, 90, 3, 1, 0, "A", "", ""},
			{"L05", "BELLY-FORE", bx600, 0, 3, 1, 0, "B", "", ""},
			{"L06", "BELLY-AFT", bx600, 0, 3, 1, 0, "B", "", ""},
			{"L07", "SIDE", wr600, 0, 3, 2, 1, "B", "", ""},
			{"L08", "TOWER-RING", csm450, 0, 10, 1, 0, "C", "", ""},
			{"L09", "TOWER-RING", bx600, 0, 3, 1, 0, "C", "", ""},
			{"L10", "TOWER-HALF", wr600, 30, 3, 2, 1, "C", "", ""},
			{"L11", "KEEL", ud300, 0, 2, 1, 0, "C", "rolled, never folded", ""},
			{"L12", "KEEL-INNER", ud300, 0, 2, 1, 0, "C", "", ""},
			{"L13", "RIB", bx600, 0, 5, 2, 0, "C", "", ""},
			{"L14", "RIB-SHORT", bx600, 0, 5, 2, 0, "C", "", ""},
			{"L15", "LIP-TAPE", wr600, 45, 3, 2, 0, "C", "", ""},
			{"L16", "LOUVRE-FRAME", csm450, 0, 10, 2, 0, "D", "", ""},
			{"L17", "SUMP", csm450, 0, 10, 1, 0, "D", "", ""},
			{"L18", "SUMP", wr600, -30, 3, 1, 0, "D", "", ""},
			{"L19", "DRAIN-PATCH", csm450, 0, 10, 2, 0, "D", "", ""},
			{"L20", "CABLE-COLLAR", wr600, 45, 5, 2, 0, "D", "", ""},
			{"L21", "GUSSET", wr600, 0, 3, 4, 2, "D", "two left, two right", ""},
			{"L22", "PAD", csm300, 0, 10, 3, 0, "D", "", ""},
			{"L23", "BELLY", csm450, 0, 10, 1, 0, "E", "closes the laminate", ""},
			{"L24", "LIP-TAPE", peel, 0, 5, 2, 0, "E", "", ""},
		},
	}
}

func spinner() part {
	return part{
		name: "Spinner", revision: "B", table: "spinner.csv",
		sheets: []sheet{{"spinner.svg", spinnerShapes()}},
		plies: []ply{
			{"S01", "GORE", csm300, 0, 10, 6, 0, "A", "", ""},
			{"S02", "NOSE-DISC", csm300, 0, 10, 1, 0, "A", "", ""},
			{"S03", "GORE", wr600, 45, 3, 3, 0, "A", "", ""},
			{"S04", "GORE-INNER", wr600, 0, 3, 3, 0, "A", "", ""},
			{"S05", "GORE-HALF", csm450, 0, 10, 4, 2, "B", "two left, two right", ""},
			{"S06", "SEAM-TAPE", bx600, 0, 5, 4, 0, "B", "", ""},
			{"S07", "SEAM-TAPE-SHORT", wr600, 45, 5, 3, 0, "B", "", ""},
			{"S08", "BLADE-RING", csm450, 0, 10, 3, 0, "B", "", ""},
			{"S09", "BLADE-PAD", wr600, -45, 3, 3, 0, "B", "", ""},
			{"S10", "BLADE-COLLAR", bx600, 0, 5, 3, 0, "B", "", ""},
			{"S11", "RIM-BAND", wr600, 30, 5, 3, 0, "B", "", ""},
			{"S12", "NOSE-PATCH", csm450, 0, 10, 2, 0, "B", "", ""},
		},
	}
}

func backplate() part {
	return part{
		name: "Spinner backplate", revision: "B",
		sheets: []sheet{{"backplate.svg", plateShapes()}},
		plies: []ply{
			{"P01", "PLATE", csm450, 0, 10, 1, 0, "A", "", ""},
			{"P02", "PLATE", wr600, 0, 3, 1, 0, "A", "", ""},
			{"P03", "PLATE-SEGMENT", bx600, 30, 3, 3, 0, "A", "", ""},
			{"P04", "PLATE", wr600, 45, 3, 1, 0, "A", "", ""},
			{"P05", "HUB-RING", csm450, 0, 10, 2, 0, "B", "", ""},
			{"P06", "SPOKE", ud300, 0, 2, 6, 0, "B", "", ""},
			{"P07", "SPOKE-CAP", csm300, 0, 10, 3, 0, "B", "", ""},
			{"P08", "RIM-SECTOR", wr600, 90, 5, 6, 0, "B", "", ""},
			{"P09", "BOLT-PAD", wr600, 45, 5, 6, 0, "B", "", ""},
			{"P10", "EDGE-STRIP", csm300, 0, 10, 3, 0, "B", "", ""},
			{"P11", "PLATE", csm450, 0, 10, 1, 0, "C", "", ""},
		},
	}
}

func bulkhead() part {
	return part{
		name: "Bulkhead", revision: "A",
		sheets: []sheet{{"bulkhead.dxf", bulkheadShapes()}},
		plies: []ply{
			{"B01", "BULKHEAD", csm450, 0, 10, 1, 0, "A", "", ""},
			{"B02", "BULKHEAD", wr600, 0, 3, 1, 0, "A", "", ""},
			{"B03", "BULKHEAD-UPPER", bx600, 0, 3, 1, 0, "A", "", ""},
			{"B04", "BULKHEAD-LOWER", bx600, 0, 3, 1, 0, "A", "", ""},
			{"B05", "SHAFT-RING", wr600, 45, 5, 2, 0, "B", "", ""},
			{"B06", "STIFFENER", ud300, 0, 2, 2, 0, "B", "", ""},
			{"B07", "STIFFENER-SHORT", ud300, 0, 2, 2, 0, "B", "", ""},
			{"B08", "CABLE-PAD", csm450, 0, 10, 2, 0, "B", "", ""},
			{"B09", "CORNER", wr600, 45, 3, 2, 1, "B", "one of each hand", ""},
			{"B10", "EDGE-BAND", csm300, 0, 10, 3, 0, "B", "", ""},
			{"B11", "FOOT-TAPE", bx600, 0, 5, 2, 0, "B", "", ""},
			{"B12", "BULKHEAD", csm450, 0, 10, 1, 0, "C", "", ""},
			{"B13", "FOOT-TAPE", peel, 0, 5, 1, 0, "C", "", ""},
		},
	}
}

func lid() part {
	return part{
		name: "Hatch lid", revision: "B",
		sheets: []sheet{{"hatch-lid.svg", lidShapes()}},
		plies: []ply{
			{"H01", "LID", csm300, 0, 10, 1, 0, "A", "", ""},
			{"H02", "LID", csm450, 0, 10, 1, 0, "A", "", ""},
			{"H03", "LID-INNER", wr600, -45, 3, 1, 0, "A", "", ""},
			{"H04", "SEAL-BAND", csm450, 0, 10, 1, 0, "A", "", ""},
			{"H05", "LID-RIB", bx600, 0, 5, 2, 0, "A", "", ""},
			{"H06", "GRIP-PATCH", wr600, 30, 5, 1, 0, "A", "", ""},
			{"H07", "LID-TAPE", csm300, 0, 10, 4, 0, "A", "", ""},
			{"H08", "LID", csm450, 0, 10, 1, 0, "A", "", ""},
		},
	}
}

// tooWide is a ply wider than its roll whichever way it is laid.
func tooWide() part {
	return part{
		name: "Fairing",
		sheets: []sheet{{"fairing.svg", []shape{{
			name:  "PANEL",
			outer: from(0, 0).to(2000, 0).to(2000, 1400).curve(1900, 1600, 1700, 1600, 1600, 1600).to(0, 1600).close(),
		}}}},
		plies: []ply{{"F1", "PANEL", wr600, 0, 3, 1, 0, "", "", ""}},
	}
}
