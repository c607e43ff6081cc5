// Packbench measures the packing engine on published strip instances: it packs
// each file for a given time, checks the layout with code that shares nothing
// with the engine, and prints length and density beside the published figures.
package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/pprof"
	"time"

	"plyroom/nest/pack"
	"plyroom/shapes/strip"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, os.Args[1:], os.Stdout, os.Stderr); err != nil {
		fmt.Fprintf(os.Stderr, "packbench: %v\n", err)
		os.Exit(1)
	}
}

type options struct {
	time     time.Duration
	effort   int
	set      pack.Settings
	out      string
	profile  string
	progress bool
}

func run(ctx context.Context, args []string, stdout, stderr io.Writer) error {
	var o options
	fs := flag.NewFlagSet("packbench", flag.ContinueOnError)
	fs.SetOutput(stderr)
	fs.Usage = func() {
		fmt.Fprintln(stderr, "usage: packbench [flags] FILE.json…")
		fs.PrintDefaults()
	}
	fs.DurationVar(&o.time, "time", 60*time.Second, "time per instance")
	fs.IntVar(&o.effort, "effort", 0, "amount of work per instance instead of time, for reproducible results")
	fs.IntVar(&o.set.Workers, "workers", 2, "goroutines that search")
	fs.Uint64Var(&o.set.Seed, "seed", 1, "seed of the search")
	fs.BoolVar(&o.set.NoPolish, "nopolish", false, "leave out the exact finish")
	fs.StringVar(&o.out, "o", "", "file for one JSON line per instance")
	fs.StringVar(&o.profile, "cpuprofile", "", "file for a CPU profile")
	fs.BoolVar(&o.progress, "v", false, "print every improvement to the error stream")
	if err := fs.Parse(args); err != nil {
		if err == flag.ErrHelp {
			return nil
		}
		return err
	}
	if fs.NArg() == 0 {
		return fmt.Errorf("no instance files given")
	}
	if o.profile != "" {
		f, err := os.Create(o.profile)
		if err != nil {
			return err
		}
		defer f.Close()
		if err := pprof.StartCPUProfile(f); err != nil {
			return err
		}
		defer pprof.StopCPUProfile()
	}
	var lines *json.Encoder
	if o.out != "" {
		f, err := os.Create(o.out)
		if err != nil {
			return err
		}
		defer f.Close()
		lines = json.NewEncoder(f)
	}
	return bench(ctx, fs.Args(), &o, lines, stdout, stderr)
}

func bench(ctx context.Context, files []string, o *options, lines *json.Encoder, stdout, stderr io.Writer) error {
	table := newTable(stdout)
	wrong := 0
	for _, path := range files {
		in, err := strip.ReadFile(path)
		if err != nil {
			return err
		}
		known, err := published(filepath.Dir(path), in.Name)
		if err != nil {
			return err
		}
		r, err := measure(ctx, in, o, stderr)
		if err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		faults := r.check(in)
		table.row(r, in.Pieces(), known)
		for _, f := range faults {
			fmt.Fprintf(stdout, "INVALID %s: %s\n", in.Name, f)
			wrong++
		}
		if lines != nil {
			if err := lines.Encode(r); err != nil {
				return err
			}
		}
		if ctx.Err() != nil {
			break
		}
	}
	table.means()
	if wrong > 0 {
		return fmt.Errorf("%d faults in the layouts: see the lines marked INVALID", wrong)
	}
	return nil
}
