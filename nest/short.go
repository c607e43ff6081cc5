package nest

// A Short is a kit that the stock could not complete.
type Short struct {
	Part string `json:"part"`
	Unit int    `json:"unit"`
	// Missing lists the pieces that are not laid, in the order of the demand.
	Missing []Missing `json:"missing"`
}

// A Missing is a demanded piece that is in no layout.
type Missing struct {
	Ply    string `json:"ply"`
	Copy   int    `json:"copy"`
	Fabric string `json:"fabric"`
}

// ShortKeys lists every piece the record says is missing.
func (r *Record) ShortKeys() map[Key]bool {
	out := map[Key]bool{}
	for _, s := range r.Short {
		for _, m := range s.Missing {
			out[Key{s.Part, s.Unit, m.Ply, m.Copy}] = true
		}
	}
	return out
}
