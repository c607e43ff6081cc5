// Command plyroom lays plies on rolls of fabric and writes what a cutting room
// needs: layouts, cut files, labels, kit lists and a report.
//
// Each command has a file of its own and only wires packages together; main
// owns signals and the exit status.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
)

// Exit statuses.
const (
	exitDone   = 0
	exitCannot = 1 // the job cannot be laid, or a check fails
	exitInput  = 2 // bad input or usage
)

func main() {
	// The first signal stops the search and keeps the best layout; a second
	// one ends the program as usual.
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	go func() {
		<-ctx.Done()
		stop()
	}()
	os.Exit(execute(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// execute runs one command line and returns the exit status. Output folders
// and files are the only other effect.
func execute(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	root := newRoot(stdout, stderr)
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return exitDone
	}
	var failed *failure
	if errors.As(err, &failed) {
		if failed.err != nil {
			fmt.Fprintf(stderr, "plyroom: %v\n", failed.err)
		}
		return failed.status
	}
	fmt.Fprintf(stderr, "plyroom: %v\n", err)
	return exitInput
}

// failure is an error with its exit status. A nil err has been told already.
type failure struct {
	status int
	err    error
}

func (f *failure) Error() string {
	if f.err == nil {
		return fmt.Sprintf("exit status %d", f.status)
	}
	return f.err.Error()
}

func (f *failure) Unwrap() error { return f.err }

// cannot marks an error as one of the work, not of the input.
func cannot(err error) error { return &failure{exitCannot, err} }
