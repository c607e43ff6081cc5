package pack

import (
	"encoding/binary"
	"math"
	"sync"

	"github.com/paulmach/orb"

	"plyroom/nest/collide"
)

// A Cache keeps outlines prepared from one call of Solve to the next. A plan is
// found by many calls with the same outlines, and preparing them is a large part
// of a first layout. It changes the time taken, never the result. The zero value
// is ready; it may be used from several goroutines, and holds no more than a few
// hundred megabytes.
type Cache struct {
	mu     sync.Mutex
	shapes map[string]*collide.Shape
	held   int // corners
}

// cacheCorners is the most corners of outlines a Cache holds: some 150 bytes
// each with all that is prepared. When more come it starts anew.
const cacheCorners = 1 << 20

// shape is collide.NewShape, remembered. A nil cache remembers nothing.
func (c *Cache) shape(exterior orb.Ring, holes []orb.Ring) (*collide.Shape, error) {
	if c == nil {
		return collide.NewShape(exterior, holes)
	}
	key, corners := outlineKey(exterior, holes)
	c.mu.Lock()
	s := c.shapes[key]
	c.mu.Unlock()
	if s != nil {
		return s, nil
	}
	s, err := collide.NewShape(exterior, holes)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.held+corners > cacheCorners {
		c.shapes, c.held = nil, 0
	}
	if c.shapes == nil {
		c.shapes = map[string]*collide.Shape{}
	}
	if c.shapes[key] == nil {
		c.shapes[key] = s
		c.held += corners
	}
	return s, nil
}

// outlineKey is the same for outlines of the same coordinates, bit by bit, and
// no others.
func outlineKey(exterior orb.Ring, holes []orb.Ring) (key string, corners int) {
	corners = len(exterior)
	for _, h := range holes {
		corners += len(h)
	}
	b := make([]byte, 0, 16*corners+8*(1+len(holes)))
	ring := func(r orb.Ring) {
		b = binary.LittleEndian.AppendUint64(b, uint64(len(r)))
		for _, p := range r {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(p[0]))
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(p[1]))
		}
	}
	ring(exterior)
	for _, h := range holes {
		ring(h)
	}
	return string(b), corners
}
