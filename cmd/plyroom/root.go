package main

import (
	"fmt"
	"io"
	"runtime/debug"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"plyroom/nest"
)

// sayForm makes a command, and those below it, answer wrong arguments with the
// form that is meant.
func sayForm(cmd *cobra.Command) {
	var below []string
	for _, c := range cmd.Commands() {
		sayForm(c)
		below = append(below, c.Name())
	}
	check := cmd.Args
	if check == nil {
		return
	}
	cmd.Args = func(cmd *cobra.Command, args []string) error {
		if check(cmd, args) == nil {
			return nil
		}
		given := "nothing"
		if len(args) > 0 {
			given = several(args)
		}
		parent := cmd.Parent().CommandPath()
		form := parent + " " + cmd.Use
		if len(below) > 0 {
			form += fmt.Sprintf(" (or %s with one of %s)", cmd.CommandPath(), strings.Join(below, ", "))
		}
		return fmt.Errorf("%s was given %s; the command is %s", cmd.CommandPath(), given, form)
	}
}

// app is what every command needs of its surroundings.
type app struct {
	stdout, stderr io.Writer
}

func newRoot(stdout, stderr io.Writer) *cobra.Command {
	a := &app{stdout, stderr}
	root := &cobra.Command{
		Use:   "plyroom",
		Short: "Lay plies on rolls of fabric, and write cut files, labels, kit lists and a report",
		Long: `plyroom reads outlines and a job file, lays every ply on the rolls of its fabric
without turning the fibre off its direction, checks the result, and writes what
the cutting room, purchasing and the laminator need.

Start with:  plyroom nest testdata/nacelle/job.yaml -o OUT

Exit status: 0 done; 1 the job cannot be laid or a check fails; 2 bad input or
usage.`,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.Version = version()
	root.SetVersionTemplate("plyroom {{.Version}}\n")
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error {
		if strings.Contains(err.Error(), "missing unit in duration") {
			return fmt.Errorf("%w; give a unit, such as 5s or 5m", err)
		}
		return err
	})
	root.SetOut(stdout)
	root.SetErr(stderr)
	root.CompletionOptions.HiddenDefaultCmd = true
	root.AddCommand(
		a.nestCommand(),
		a.checkCommand(),
		a.outlinesCommand(),
		a.newCommand(),
		a.cutCommand(),
		a.kitsCommand(),
		a.traceCommand(),
		a.rollCommand(),
		a.compareCommand(),
		a.buyCommand(),
		a.remnantsCommand(),
		a.relayCommand(),
		a.recutCommand(),
		a.studyCommand(),
	)
	sayForm(root)
	return root
}

// version is what the build knows of itself: the module's version, and the
// commit where it was built from one.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "unknown"
	}
	v := info.Main.Version
	if v == "" || v == "(devel)" {
		v = "development"
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" {
			v += " " + s.Value
		}
	}
	return v + ", records of format " + strconv.Itoa(nest.Format)
}
