package kit

// A Bag is one bag, tube or box of a kit.
type Bag struct {
	// Number counts the bags of the kit from 1.
	Number int
	// Name is what the job calls it; empty where the job names none.
	Name string
	// Lines are indexes into Kit.Lines, in lay-up order.
	Lines []int
	// First and Last are the lay-up orders in it.
	First, Last int
	// Pieces is how many pieces, and tags, belong in it; short ones are not
	// counted.
	Pieces int
	// Short is how many more were asked for.
	Short int
	// Fibre is the dry mass of its fabric, kg, without film and core.
	Fibre float64
	// Rolled is how many of the pieces are rolled.
	Rolled int
}

// bags packs the lines and writes the bag's number into each. A bag is
// numbered where its first ply comes in the lay-up.
func bags(lines []Line) []Bag {
	var out []Bag
	byName := map[string]int{}
	for i := range lines {
		l := &lines[i]
		n, ok := byName[l.Demand.Bag]
		if !ok {
			n = len(out)
			byName[l.Demand.Bag] = n
			out = append(out, Bag{Number: n + 1, Name: l.Demand.Bag, First: l.Demand.Order})
		}
		b := &out[n]
		l.Bag = b.Number
		b.Lines = append(b.Lines, i)
		b.Last = l.Demand.Order
		if l.Place == nil {
			b.Short++
			continue
		}
		b.Pieces++
		if l.Packing.Rolled {
			b.Rolled++
		}
		if l.Laminate != nil {
			b.Fibre += l.Laminate.Fibre
		}
	}
	return out
}
