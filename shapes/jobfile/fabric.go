package jobfile

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"plyroom/shapes"
)

// massAgreement is how far a stated areal mass may be from the sum of its
// layers, as a share: stitching yarn and rounding stay below it.
const massAgreement = 0.01

// A fabricEntry is a fabric with where it was named.
type fabricEntry struct {
	fabric *shapes.Fabric
	node   *node
	// unused are plies that state a direction or tolerance the fabric has no
	// use for.
	unused []string
	// rolls say where each roll was named.
	rolls []*node
}

func (r *reader) readFabric(n *node) {
	m := r.fields(n, fabricForm, "")
	if m == nil {
		return
	}
	f := &shapes.Fabric{}
	entry := &fabricEntry{fabric: f, node: m.at("name")}
	var named bool
	if f.Name, named = m.text("name"); named {
		if other := r.fabrics[f.Name]; other != nil {
			m.fault("name", fmt.Sprintf("fabric %s stands twice, first on line %d", quote(f.Name), other.node.line), "")
		} else {
			r.fabrics[f.Name] = entry
			r.fabricNames = append(r.fabricNames, f.Name)
			r.job.Fabrics = append(r.job.Fabrics, f)
		}
	}
	word, known := m.word("construction")
	f.Construction = shapes.Construction(word)
	f.Width = m.figure("width")
	f.Selvedge = m.figure("selvedge")
	f.DeliveryLength = m.figure("delivery_length")
	r.stateLength(m, "delivery_length", "a roll of "+quote(f.Name)+" as delivered", f.DeliveryLength, f.Width, false)
	f.FibreDensity = m.figure("fibre_density")
	f.OutLife = m.figure("out_life")
	f.Price = r.readPrice(m, "price")
	if f.Width > 0 && f.UsableWidth() <= 0 {
		m.fault("selvedge", fmt.Sprintf("two selvedges of %s mm leave nothing of a width of %s mm", figure(f.Selvedge), figure(f.Width)), "")
	}
	r.readWeave(m, f, known)
	r.readMass(m, f, known)
	r.readWarpPositions(m, f)
	r.readBuying(m, f)
	r.doubtStandIns(m)
	for _, roll := range m.list("rolls") {
		r.readRoll(roll, entry)
	}
}

// readWeave reads what depends on how warp and weft or layers lie.
func (r *reader) readWeave(m *fields, f *shapes.Fabric, known bool) {
	faces, _ := m.word("faces")
	f.Faces = shapes.Faces(faces)
	f.Balanced = m.flag("balanced")
	diagonal, _ := m.word("diagonal")
	f.DiagonalFree = diagonal == "free"
	order, _ := m.word("layer_order")
	f.LayerOrderMatters = order == "matters"
	if !known {
		return
	}
	c := f.Construction
	if c == shapes.Satin {
		if m.has("faces") && f.Faces == shapes.SameFaces {
			r.note("%s is a satin: its faces differ, whatever the job says, and its plies are not turned over", quote(f.Name))
		}
		f.Faces = shapes.DifferentFaces
	}
	if m.has("balanced") && c != shapes.Plain && c != shapes.Twill {
		m.fault("balanced", fmt.Sprintf("balanced is for plain and twill weaves, not for construction %s", c), "")
	}
	if m.has("diagonal") && c != shapes.Twill {
		m.fault("diagonal", fmt.Sprintf("diagonal is for twill weaves, not for construction %s", c), "")
	}
	if m.has("layer_order") && (!c.Stitched() || c == shapes.Unidirectional) {
		m.fault("layer_order", fmt.Sprintf("layer_order is for stitched fabrics of several layers, not for construction %s", c), "")
	}
}

// readMass reads layers, areal mass and glass content, which must agree.
func (r *reader) readMass(m *fields, f *shapes.Fabric, known bool) {
	stated, statedOK := m.number("areal_mass")
	var sum float64
	layersOK := true
	for _, n := range m.list("layers") {
		lm := r.fields(n, layerForm, "")
		if lm == nil {
			layersOK = false
			continue
		}
		a, okA := lm.number("angle")
		w, okW := lm.number("mass")
		layersOK = layersOK && okA && okW
		f.Layers = append(f.Layers, shapes.FabricLayer{Angle: shapes.NormalDirection(a), Mass: w})
		sum += w
	}
	f.ArealMass = stated
	content, contentOK := m.number("glass_content")
	f.GlassContent = content
	if !known {
		return
	}
	c := f.Construction
	noFibre := c == shapes.Film || c == shapes.Core
	switch {
	case noFibre:
		for _, name := range []string{"areal_mass", "glass_content", "fibre_density"} {
			if m.has(name) {
				m.fault(name, fmt.Sprintf("a %s has no fibre", c), fmt.Sprintf("leave out %q", name))
			}
		}
		f.ArealMass, f.GlassContent, f.FibreDensity = 0, 0, 0
	case c.Stitched() && len(f.Layers) > 0:
		if want := layerCount(c); want > 0 && len(f.Layers) != want {
			m.fault("layers", fmt.Sprintf("a %s fabric has %d layers, found %d", c, want, len(f.Layers)), "")
		}
		switch {
		case !layersOK:
		case !m.has("areal_mass"):
			f.ArealMass = sum
		case statedOK && math.Abs(sum-stated) > massAgreement*stated:
			m.fault("areal_mass", fmt.Sprintf("areal_mass is %s g/m2 but the layers add up to %s", figure(stated), figure(sum)), "they must agree within 1 %")
		}
	case c == shapes.Unidirectional:
		if statedOK && stated > 0 {
			f.Layers = []shapes.FabricLayer{{Angle: 0, Mass: stated}}
		} else if !m.has("areal_mass") {
			r.fault(m.node, "", "the fabric lacks \"areal_mass\"", "a unidirectional states it, or its layers")
		}
	case c.Stitched():
		if !m.has("layers") {
			r.fault(m.node, "", "the fabric lacks \"layers\"", fmt.Sprintf("a %s fabric states angle and mass of each, bottom to top", c))
		}
	case c == shapes.Mat && !m.has("areal_mass"):
		r.fault(m.node, "", "the fabric lacks \"areal_mass\"", "")
	}
	if m.has("layers") && !c.Stitched() {
		m.fault("layers", fmt.Sprintf("layers are for stitched fabrics, not for construction %s", c), "")
	}
	if statedOK && stated == 0 && !c.Woven() && !noFibre {
		m.fault("areal_mass", fmt.Sprintf("areal_mass: %s is out of range", quote(m.at("areal_mass").text)), "only film, core and weaves such as peel ply have no fibre mass")
	}
	if c.Woven() && f.ArealMass == 0 && (statedOK || !m.has("areal_mass")) {
		r.note("%s states no areal mass: it is listed without fibre and resin", quote(f.Name))
		if m.has("glass_content") {
			m.fault("glass_content", "glass_content stands without areal_mass", "")
		}
		f.GlassContent = 0
		return
	}
	if !contentOK && !noFibre {
		f.GlassContent = glassContent(c)
	}
}

func (r *reader) readWarpPositions(m *fields, f *shapes.Fabric) {
	if !m.has("warp_positions") {
		return
	}
	seen := map[float64]bool{}
	for _, a := range m.numbers("warp_positions") {
		a = math.Mod(math.Mod(a, 360)+360, 360)
		if !seen[a] {
			seen[a] = true
			f.WarpPositions = append(f.WarpPositions, a)
		}
	}
	sort.Float64s(f.WarpPositions)
	if len(f.WarpPositions) > 0 && !slices.Contains(f.WarpPositions, 0) {
		m.fault("warp_positions", "warp_positions leave out 0, the asked direction itself", "")
	}
	if f.Construction.Directionless() && f.Construction != "" {
		m.fault("warp_positions", fmt.Sprintf("a %s has no direction", f.Construction), `leave out "warp_positions"`)
	}
}

// figure writes a figure for a message, without needless digits.
func figure(v float64) string {
	return plainFigure(math.Round(v*1000) / 1000)
}
