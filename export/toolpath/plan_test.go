package toolpath

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"plyroom/export/internal/cutcase"
)

func TestQuick(t *testing.T) {
	for _, n := range []int{10, 50, 300, 2000} {
		rec := cutcase.Random(1, n)
		s := time.Now()
		p, err := Plan(rec, &rec.Layouts[0], Machine{})
		require.NoError(t, err)
		d := time.Since(s)
		fmt.Println(n, d, p.Stats)
	}
	rec := cutcase.Small()
	p, err := Plan(rec, &rec.Layouts[0], Machine{})
	require.NoError(t, err)
	fmt.Printf("%+v %v\n", p.Stats, p.Warnings)
}
