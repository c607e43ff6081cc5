// Package strip reads published strip-packing instances in their JSON form:
// strip_width, and items with quantity, rotations_deg (absent: any angle) and
// outline (one ring, not closed). Pieces may not be mirrored.
package strip

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"github.com/paulmach/orb"
)

// An Instance is one strip-packing problem. Lengths have no unit.
type Instance struct {
	Name  string
	Width float64
	Items []Item
}

// An Item is one shape to lay Quantity times.
type Item struct {
	ID       string
	Quantity int
	// Rotations are the allowed rotations in degrees; nil means any.
	Rotations []float64
	// Outline is a simple ring, not closed.
	Outline orb.Ring
}

// ErrInstance is wrapped by errors about what a file says.
var ErrInstance = errors.New("bad strip instance")

type file struct {
	Name  string   `json:"name"`
	Width *float64 `json:"strip_width"`
	Items []struct {
		ID        any          `json:"id"`
		Quantity  *int         `json:"quantity"`
		Rotations *[]float64   `json:"rotations_deg"`
		Outline   [][2]float64 `json:"outline"`
	} `json:"items"`
}

// Read reads one instance.
func Read(r io.Reader) (*Instance, error) {
	var f file
	if err := json.NewDecoder(r).Decode(&f); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrInstance, err)
	}
	if f.Width == nil || !(*f.Width > 0) || math.IsInf(*f.Width, 0) {
		return nil, fmt.Errorf("%w: strip_width is not a positive number", ErrInstance)
	}
	if len(f.Items) == 0 {
		return nil, fmt.Errorf("%w: there are no items", ErrInstance)
	}
	out := &Instance{Name: f.Name, Width: *f.Width}
	for i, v := range f.Items {
		it := Item{ID: fmt.Sprint(i), Quantity: 1}
		if v.ID != nil {
			it.ID = fmt.Sprint(v.ID)
		}
		if v.Quantity != nil {
			it.Quantity = *v.Quantity
		}
		if it.Quantity < 0 {
			return nil, fmt.Errorf("%w: item %d: quantity %d is negative", ErrInstance, i, it.Quantity)
		}
		if v.Rotations != nil {
			it.Rotations = append([]float64{}, *v.Rotations...)
			if len(it.Rotations) == 0 {
				return nil, fmt.Errorf("%w: item %d: rotations_deg allows none", ErrInstance, i)
			}
		}
		for _, p := range v.Outline {
			it.Outline = append(it.Outline, orb.Point(p))
		}
		if len(it.Outline) < 3 {
			return nil, fmt.Errorf("%w: item %d: an outline needs three points", ErrInstance, i)
		}
		out.Items = append(out.Items, it)
	}
	return out, nil
}

// ReadFile reads the instance in a file; one without a name takes the file's.
func ReadFile(path string) (*Instance, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	in, err := Read(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if in.Name == "" {
		in.Name = strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	}
	return in, nil
}

// Pieces is how many copies there are in all.
func (in *Instance) Pieces() int {
	n := 0
	for _, it := range in.Items {
		n += it.Quantity
	}
	return n
}
