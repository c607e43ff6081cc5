package jobfile

import (
	"fmt"
	"slices"
)

// wordAll stands for every part, unless a part has that name.
const wordAll = "all"

// readTogether reads which parts' kits are kept together, once the parts are
// known.
func (r *reader) readTogether(list []*node) {
	of := cuttingForm.find("keep_together").of
	var parts []string
	for _, p := range r.job.Parts {
		parts = append(parts, p.Name)
	}
	kept := &r.job.Cutting.KeepTogether
	for _, n := range list {
		name, ok := r.text(n, of, "keep_together", "")
		switch {
		case !ok: // told already
		case slices.Contains(*kept, name):
			r.fault(n, "", fmt.Sprintf("keep_together: part %s stands twice", quote(name)), "")
		case slices.Contains(parts, name):
			*kept = append(*kept, name)
		case name == wordAll && len(list) == 1:
			*kept = parts
		case name == wordAll:
			r.fault(n, "", "keep_together: all stands alone, not beside parts", "")
		default:
			r.fault(n, "", "keep_together: unknown part "+quote(name), suggest(name, append(slices.Clone(parts), wordAll)))
		}
	}
}
