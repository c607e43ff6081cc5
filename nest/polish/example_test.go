package polish_test

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"plyroom/nest/polish"
)

// Two triangles that were placed a little apart are pushed together until their
// long sides meet.
func ExampleCompact() {
	lower, _ := polish.NewShape(orb.Ring{{0, 0}, {30, 0}, {0, 20}}, nil)
	upper, _ := polish.NewShape(orb.Ring{{30, 0}, {30, 20}, {0, 20}}, nil)
	layout, err := polish.Compact(context.Background(), polish.Strip{Width: 20},
		[]*polish.Shape{lower, upper}, []orb.Point{{0.4, 0}, {2.3, 0}}, polish.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(layout.Length, layout.At, layout.Valid)
	// Output: 30 [[0 0] [0 0]] true
}
