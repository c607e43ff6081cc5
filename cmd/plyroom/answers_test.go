package main

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/nest/study"
	"plyroom/shapes/jobfile"
)

// The README's answers are those of the pictures beside the demo, the pictures
// are of the demo as it is, and each command given for one is a command.
func TestAnswersOfTheDemo(t *testing.T) {
	root := filepath.Join("..", "..")
	readme := read(t, filepath.Join(root, "README.md"))
	job, problems := jobfile.Read(filepath.Join(root, "testdata", "nacelle", "job.yaml"))
	require.NoError(t, problems.Err())
	figure := regexp.MustCompile(`(\d+\.\d\d) EUR`)
	noise := regexp.MustCompile(`± (\d+\.\d\d) per set`)
	for name, args := range map[string][]string{
		"width": {"--vary", "width=WR 600:1200..1600/50"},
		"rules": {"--relax=tolerance,width,splits,turning,gap,selvedge,end_allowance", "--seeds", "5"},
		"units": {"--vary", "units=1,2,3,4,6"},
	} {
		require.Contains(t, readme, "](testdata/nacelle/answers/"+name+".svg)")
		picture := read(t, filepath.Join(root, "testdata", "nacelle", "answers", name+".svg"))
		require.Contains(t, picture, job.Name+", revision "+job.Revision)
		told := figure.FindStringSubmatch(picture)
		require.NotNil(t, told, name)
		require.Contains(t, readme, told[1], "the figure of %s.svg", name)
		for _, a := range args {
			require.Contains(t, readme, strings.TrimPrefix(a, "--seeds"), name)
		}
		if name == "rules" {
			band := noise.FindStringSubmatch(picture)
			require.NotNil(t, band)
			require.Contains(t, readme, told[1]+" ± "+band[1])
			kinds, err := study.ParseRelax(strings.TrimPrefix(args[0], "--relax="))
			require.NoError(t, err)
			rules := map[string]bool{}
			for _, r := range study.Rules(job, kinds) {
				rules[r.Words] = true
			}
			bars := regexp.MustCompile(`class="label"[^>]*>([^<]+)<`).FindAllStringSubmatch(picture, -1)
			require.NotEmpty(t, bars)
			for _, b := range bars {
				require.True(t, rules[b[1]], "the demo has no rule %q", b[1])
			}
			continue
		}
		axis, err := study.ParseAxis(args[1])
		require.NoError(t, err)
		p, err := study.NewPlan(job, study.Spec{Effort: 5, Seed: 1, Seeds: 3, Axes: []study.Axis{axis}})
		require.NoError(t, err)
		require.Contains(t, picture, axis.Name())
		// Cost and yield, a dot for each case.
		require.Equal(t, 2*len(p.Cases)/3, strings.Count(picture, `class="dot s0"`))
	}
}
