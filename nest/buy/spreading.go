package buy

import (
	"plyroom/nest"
	"plyroom/shapes"
)

// A Spreading says how the plan spreads fabrics, and what that costs and saves
// against cutting every fabric single. Lengths are metres.
type Spreading struct {
	// Policy is what spreads are chosen for; FromJob says that the job names
	// it.
	Policy  shapes.SpreadPolicy `json:"policy"`
	FromJob bool                `json:"from_job"`
	// Layouts counts the layouts of the plan, or of the largest batch of an
	// estimate, and Spreads those of more than one layer.
	Layouts int `json:"layouts"`
	Spreads int `json:"spreads"`
	// MoreMetres, MoreArea (m²) and MoreCost are fabric that spreads take
	// beyond what single layouts do, below 0 where they take less.
	// SavesMinutes is working time. Both ways are set side by side after short
	// searches, or reckoned where Foretold. Compared is false where no spread
	// was found to weigh.
	Compared     bool    `json:"compared"`
	Foretold     bool    `json:"foretold,omitempty"`
	MoreMetres   float64 `json:"more_m"`
	MoreArea     float64 `json:"more_m2"`
	MoreCost     float64 `json:"more_cost"`
	Priced       bool    `json:"priced"`
	SavesMinutes float64 `json:"saves_min"`
}

// spreading reads a record; nil where its rules allow no spreads.
func spreading(rec *nest.Record) *Spreading {
	if rec.Rules.Layers < 2 || len(rec.Rules.Spreads) == 0 {
		return nil
	}
	out := &Spreading{Policy: rec.Rules.SpreadPolicy, Layouts: len(rec.Layouts)}
	for i := range rec.Layouts {
		if len(rec.Layouts[i].Layers) > 1 {
			out.Spreads++
		}
	}
	var single, chosen *nest.SpreadOption
	for i := range rec.SpreadOptions {
		o := &rec.SpreadOptions[i]
		if o.Name == nest.OptionNone {
			single = o
		}
		if o.Chosen {
			chosen = o
		}
	}
	if single == nil || chosen == nil {
		return out
	}
	out.Compared = true
	out.Foretold = chosen.Foretold
	out.MoreMetres = (chosen.Length - single.Length) / 1e3
	out.MoreArea = (chosen.Drawn - single.Drawn) / 1e6
	out.Priced = chosen.Priced && single.Priced
	if out.Priced {
		out.MoreCost = chosen.FabricCost - single.FabricCost
	}
	out.SavesMinutes = single.Minutes.Total() - chosen.Minutes.Total()
	return out
}
