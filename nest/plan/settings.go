package plan

import "time"

// Settings say how long to search and how. The zero value searches for
// DefaultTime with both workers and seed 1.
type Settings struct {
	// Time is how long the search may take altogether; 0 with Effort 0 means
	// DefaultTime. It is not used where Effort is set.
	Time time.Duration
	// Effort, where above 0, sets an amount of work instead of a time: equal
	// effort and seed give equal layouts, with any number of workers, on every
	// machine with the same kind of processor. (Kinds differ in the last bit of
	// sums of products, some rounding once, some twice.)
	Effort int
	// Seed starts the random choices of the search.
	Seed uint64
	// Workers is how many searches run side by side; 0 means one per core.
	Workers int
	// IgnoreStock lays the job on as much fabric as it needs, whatever the
	// rolls hold: for buying.
	IgnoreStock bool
	// RollsAsListed takes the rolls of each fabric in the job's order, instead
	// of the order in which least is drawn.
	RollsAsListed bool
	// Unweighed leaves out the second plan that tells what keeping kits together
	// costs.
	Unweighed bool
	// Lots are those that kits must have of a fabric, where the job asks for one
	// lot in a kit: since part of them is cut already, or lies on a remnant.
	Lots map[Lot]string
	// AllowShort lays what there is room for where the stock runs short.
	AllowShort bool
}

// A Lot names all plies of one fabric in one kit: they come from one lot where
// the job asks for that.
type Lot struct {
	Fabric string
	Part   string
	Unit   int
}

// DefaultTime is the time a search takes where nothing is said.
const DefaultTime = 60 * time.Second

// Progress is what is known while the search goes on.
type Progress struct {
	// Fabric is the one being laid, number Index (from 0) of Of.
	Fabric    string
	Index, Of int
	// Length is the best total length of this fabric so far and Bound what no
	// plan can beat, end allowances included, mm.
	Length, Bound float64
	// Yield is plies over fabric drawn, without regard to roll ends, 0 to 1.
	Yield float64
	// Share is how much of the time or effort is spent, 0 to 1.
	Share float64
}
