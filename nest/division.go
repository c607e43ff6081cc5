package nest

// A Division says which plies of one fabric, each of which would fit whole,
// were divided to save fabric, and what that saved. Its figures are of the
// plies of this fabric alone, cut single, laid twice with equal searches: whole
// and divided.
type Division struct {
	Fabric string `json:"fabric"`
	// Plies are the plies divided, in the order of the job.
	Plies []DividedPly `json:"plies"`
	// WholeLength and WholeDrawn are what the fabric draws with these plies
	// whole, Length and Drawn with them divided, roll ends included, mm and mm².
	WholeLength float64 `json:"whole_length"`
	WholeDrawn  float64 `json:"whole_drawn"`
	Length      float64 `json:"length"`
	Drawn       float64 `json:"drawn"`
	// Asked is the least that the job asks its seams to save, mm².
	Asked float64 `json:"asked"`
	// Homeless counts the pieces that found no room with these plies whole;
	// where there are any, the division is what lets them all be laid, and
	// saves no fabric.
	Homeless int `json:"homeless,omitempty"`
}

// A DividedPly is a ply divided on purpose.
type DividedPly struct {
	Part string `json:"part"`
	Ply  string `json:"ply"`
	// Panels is how many each piece is cut in, and Pieces how many pieces of
	// it the job makes in all.
	Panels int `json:"panels"`
	Pieces int `json:"pieces"`
	// LapArea is what the laps double in all, mm².
	LapArea float64 `json:"lap_area"`
}

// SavedLength is the length the division saves, mm.
func (d *Division) SavedLength() float64 { return d.WholeLength - d.Length }

// SavedArea is the area of fabric the division saves, laps paid for, mm².
func (d *Division) SavedArea() float64 { return d.WholeDrawn - d.Drawn }
