package jobfile

import (
	"fmt"
	"strings"

	"plyroom/shapes"
)

// readPrice reads a price: a figure, "FIGURE per UNIT", or a mapping. nil
// where there is none or it is wrong.
func (r *reader) readPrice(m *fields, name string) *shapes.Price {
	n := m.values[name]
	if n == nil || n.kind == nullNode {
		return nil
	}
	perUnit := m.key(name).words[0]
	amountNode := *n
	var amount float64
	var ok bool
	switch n.kind {
	case mapNode:
		pm := r.fields(n, priceForm, "")
		if pm == nil {
			return nil
		}
		amount, ok = pm.number("amount")
		if pm.has("per") {
			word, known := pm.word("per")
			perUnit, ok = word, ok && known
		}
	case scalarNode:
		head, tail, found := strings.Cut(n.text, "per ")
		if found {
			unit := *n
			unit.text = strings.TrimSpace(tail)
			word, known := r.word(&unit, &priceForm.find("per").value, name, "")
			if !known {
				return nil
			}
			perUnit = word
		}
		amountNode.text = strings.TrimSpace(head)
		amount, ok = r.number(&amountNode, &priceForm.find("amount").value, name, "")
	default:
		m.fault(name, fmt.Sprintf("%s: want a price, found %s", name, n.describe()), "")
	}
	if !ok {
		return nil
	}
	if name == "resin_price" && perUnit != "kg" {
		m.fault(name, fmt.Sprintf("%s is paid per kg, not per %s", name, perUnit), "")
		return nil
	}
	return &shapes.Price{Amount: amount, Per: shapes.PriceUnit(perUnit)}
}
