package shapes

// A Shift is when the laminators work and how many crews. Times of day are
// minutes after midnight, lengths of time minutes; all of them are the shop's
// own estimates.
type Shift struct {
	// Start is when the first kit is laid, and when work begins on every other
	// day.
	Start float64 `json:"start_min"`
	// End is when work ends for the day; nil where the job does not say, and
	// then it goes on without end.
	End *float64 `json:"end_min,omitempty"`
	// Days are the days of the week on which work is done, of Weekdays; empty
	// for every day.
	Days []string `json:"days,omitempty"`
	// Crews is how many kits are laid at once, at least 1.
	Crews int `json:"crews"`
	// BetweenSets passes between two wet sets of a kit; BetweenKits before a
	// crew begins its next kit.
	BetweenSets float64 `json:"between_sets_min,omitempty"`
	BetweenKits float64 `json:"between_kits_min,omitempty"`
	// Carry is how long before it is laid a set leaves the cutting room.
	Carry float64 `json:"carry_min,omitempty"`
	// CutFrom is when the table begins on the first layout; nil where the job
	// does not say.
	CutFrom *float64 `json:"cut_from_min,omitempty"`
}

// DefaultStart is when work begins where nobody says, minutes after midnight.
// Common practice, no source (C).
const DefaultStart = 7 * 60.0

// A Stop is a planned pause of the lay-up: a skin coat that must gel first, a
// core to be bedded.
type Stop struct {
	// After is the order that is laid last before the stop.
	After int `json:"after"`
	// Reason says why, or is empty.
	Reason string `json:"reason,omitempty"`
}

// Weekdays are the days of the week as a job writes them; the first is the one
// that package time counts as 0.
var Weekdays = []string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}
