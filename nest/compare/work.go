package compare

import (
	"plyroom/nest"
	"plyroom/nest/account"
	"plyroom/nest/kit"
)

// A Knife is what the cutter does on all layouts of a run, as its path was
// planned.
type Knife struct {
	// Minutes is the whole time, Down and Up are the way with the knife down
	// and raised, m; Lifts how often it is raised.
	Minutes float64 `json:"minutes"`
	Down    float64 `json:"down_m"`
	Up      float64 `json:"up_m"`
	Lifts   int     `json:"lifts"`
}

// Work is what a run asks of the cutting room.
type Work struct {
	// Knife is nil where no path was planned.
	Knife *Knife `json:"knife,omitempty"`
	// Minutes are at the job's rates; Cutting there is the rates' estimate.
	Minutes nest.Minutes `json:"rates_minutes"`
	// Visits sums, over the kits, the layouts that hold a ply of the kit, and
	// Walk is the way along the table that the kits span, m.
	Visits int     `json:"kit_visits"`
	Walk   float64 `json:"kit_walk_m"`
	// Rolls is how many rolls are used.
	Rolls int `json:"rolls"`
}

// Total is all minutes, with the knife's own where a path was planned.
func (w *Work) Total() float64 {
	m := w.Minutes
	if w.Knife != nil {
		m.Cutting = w.Knife.Minutes
	}
	return m.Cutting + m.Spreading + m.RollChanges + m.Kitting
}

func work(r *nest.Record) Work {
	walk := kit.WalkOf(r)
	rolls := map[string]bool{}
	for i := range r.Layouts {
		for _, ly := range r.Layouts[i].Layers {
			rolls[ly.Fabric+"\x00"+ly.Roll] = true
		}
	}
	return Work{Minutes: account.Minutes(r), Visits: walk.Visits, Walk: walk.Metres, Rolls: len(rolls)}
}
