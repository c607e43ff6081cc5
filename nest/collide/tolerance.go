package collide

// ContactTolerance is the share of the size of the coordinates (strip width or
// ply diameter, whichever is larger) by which two plies may sink into each
// other and still count as touching. It covers the rounding of a rotation and
// a translation (a few 1e-16 of the coordinates) with a margin for positions
// a thousand times farther along the strip than the strip is wide.
const ContactTolerance = 2e-10

// flatTolerance is the share of a ring's extent below which a vertex is taken
// to lie on the line through its neighbours; far below any fabric's meaning,
// far above the rounding of a cross product.
const flatTolerance = 1e-13

// poleStep is the share of a circle's radius by which its centre may miss the
// best possible one: the measure is graded, not exact.
const poleStep = 0.02

// tailShare is the share of a ply's diameter over which the measure still
// tells near misses of two circles apart.
const tailShare = 0.01
