// Package geom holds the polygon operations of plyroom, on orb's types, in
// millimetres: areas, containment, transforms, offsets, healing, simplifying,
// and the widest place inside a shape.
//
// Rings are open and simple unless a function says otherwise. Boolean and
// offset work is done on an integer grid by a polygon clipping library; all
// tolerances stand in tolerance.go.
package geom
