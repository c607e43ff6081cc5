package kit

import (
	"fmt"
	"strings"
)

// A Bag is one bag, tube or box of a kit.
type Bag struct {
	// Number counts the bags of the kit from 1.
	Number int
	// Name is what the job calls it; empty where the job names none.
	Name string
	// Lines are indexes into Kit.Lines, in lay-up order.
	Lines []int
	// First and Last are the least and greatest lay-up orders in it; Orders
	// lists them all, each once.
	First, Last int
	Orders      []int
	// Pieces is how many pieces, and tags, belong in it; short ones are not
	// counted.
	Pieces int
	// Short is how many more were asked for.
	Short int
	// Fibre is the dry mass of its fabric, kg, without film and core.
	Fibre float64
	// Rolled is how many of the pieces are rolled.
	Rolled int
	// taken says that the bag has no name and another is named as its number.
	taken bool
}

// Label is what people call the bag: the job's name for it, or else its number.
func (b *Bag) Label() string { return bagLabel(b.Name, b.Number, b.taken) }

// BagLabel is what people call the bag of the piece: the job's name for it, or
// else its number.
func (l *Line) BagLabel() string { return bagLabel(l.Demand.Bag, l.Bag, l.bagTaken) }

func bagLabel(name string, number int, taken bool) string {
	switch {
	case name != "":
		return name
	case taken:
		return fmt.Sprintf("%d (no name)", number)
	}
	return fmt.Sprint(number)
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
		if b.Last = l.Demand.Order; len(b.Orders) == 0 || b.Orders[len(b.Orders)-1] != b.Last {
			b.Orders = append(b.Orders, b.Last)
		}
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
	if n, ok := byName[""]; ok {
		b := &out[n]
		if _, b.taken = byName[fmt.Sprint(b.Number)]; b.taken {
			for _, i := range b.Lines {
				lines[i].bagTaken = true
			}
		}
	}
	return out
}

// Runs writes a rising list of orders shortly: "8–10, 16".
func Runs(orders []int) string {
	var out []string
	for i := 0; i < len(orders); {
		j := i
		for j+1 < len(orders) && orders[j+1] == orders[j]+1 {
			j++
		}
		switch j - i {
		case 0:
			out = append(out, fmt.Sprint(orders[i]))
		case 1:
			out = append(out, fmt.Sprint(orders[i]), fmt.Sprint(orders[j]))
		default:
			out = append(out, fmt.Sprintf("%d–%d", orders[i], orders[j]))
		}
		i = j + 1
	}
	return strings.Join(out, ", ")
}
