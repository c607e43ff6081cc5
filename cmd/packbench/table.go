package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
)

// figures are published densities in percent by column name.
type figures struct {
	names  []string
	values []float64
}

// published looks an instance up in published.csv beside the instances or one
// folder up; nothing is found where there is no such file or line.
func published(dir, name string) (figures, error) {
	dir, err := filepath.Abs(dir) // so that "." has a folder above it
	if err != nil {
		return figures{}, err
	}
	for _, d := range []string{dir, filepath.Dir(dir)} {
		f, err := os.Open(filepath.Join(d, "published.csv"))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return figures{}, err
		}
		defer f.Close()
		rows, err := csv.NewReader(f).ReadAll()
		if err != nil {
			return figures{}, fmt.Errorf("%s: %w", f.Name(), err)
		}
		for _, row := range rows[1:] {
			if row[0] != name {
				continue
			}
			var g figures
			for c := 3; c < len(row); c++ {
				v, err := strconv.ParseFloat(row[c], 64)
				if err != nil {
					return figures{}, fmt.Errorf("%s: %s: %w", f.Name(), name, err)
				}
				g.names = append(g.names, rows[0][c])
				g.values = append(g.values, v)
			}
			return g, nil
		}
		return figures{}, nil
	}
	return figures{}, nil
}

// table prints one row per instance and the means of those with published
// figures.
type table struct {
	w      io.Writer
	headed bool
	ours   float64
	theirs []float64
	n      int
}

func newTable(w io.Writer) *table { return &table{w: w} }

func (t *table) row(r *result, pieces int, known figures) {
	if !t.headed {
		fmt.Fprintf(t.w, "%-12s %6s %12s %8s", "instance", "pieces", "length", "density")
		for _, n := range known.names {
			fmt.Fprintf(t.w, " %11.11s %6s", n, "ratio")
		}
		fmt.Fprintf(t.w, " %8s  %s\n", "seconds", "status")
		t.headed = true
	}
	fmt.Fprintf(t.w, "%-12s %6d %12.7g %8.3f", r.Name, pieces, r.Length, 100*r.Density)
	for _, v := range known.values {
		fmt.Fprintf(t.w, " %11.2f %6.4f", v, 100*r.Density/v)
	}
	fmt.Fprintf(t.w, " %8.2f  %s\n", r.Seconds, r.Status)
	if len(known.values) > 0 {
		t.n++
		t.ours += 100 * r.Density
		if t.theirs == nil {
			t.theirs = make([]float64, len(known.values))
		}
		for i, v := range known.values {
			t.theirs[i] += v
		}
	}
}

func (t *table) means() {
	if t.n == 0 {
		return
	}
	n := float64(t.n)
	fmt.Fprintf(t.w, "%-12s %6s %12s %8.3f", "mean", "", "", t.ours/n)
	for _, v := range t.theirs {
		fmt.Fprintf(t.w, " %11.2f %6.4f", v/n, t.ours/v)
	}
	fmt.Fprintln(t.w)
}
