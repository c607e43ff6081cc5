package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/require"
)

const (
	// actArgs makes a run of this test program act as plyroom, so that shards
	// can be processes of their own.
	actArgs = "PLYROOM_TEST_ACT"
	// actUntil makes it kill itself when it tells of what is named.
	actUntil = "PLYROOM_TEST_UNTIL"
)

// killedAt passes text on until it holds what is named; then it kills the
// process, before anything else is done.
type killedAt struct {
	io.Writer
	name string
}

func (k killedAt) Write(text []byte) (int, error) {
	if k.name != "" && bytes.Contains(text, []byte(k.name)) {
		_ = syscall.Kill(os.Getpid(), syscall.SIGKILL)
		select {}
	}
	return k.Writer.Write(text)
}

func TestActAsCommand(t *testing.T) {
	args := os.Getenv(actArgs)
	if args == "" {
		t.Skip("only for the tests of shards")
	}
	var list []string
	require.NoError(t, json.Unmarshal([]byte(args), &list))
	os.Exit(execute(t.Context(), list, os.Stdout, killedAt{os.Stderr, os.Getenv(actUntil)}))
}

// act runs a command line in a process of its own.
func act(t *testing.T, env []string, args ...string) *exec.Cmd {
	t.Helper()
	list, err := json.Marshal(args)
	require.NoError(t, err)
	cmd := exec.Command(os.Args[0], "-test.run=^TestActAsCommand$")
	cmd.Env = append(append(os.Environ(), env...), actArgs+"="+string(list))
	return cmd
}

// studyFiles writes a job of two fabrics that the bound does not settle.
func studyFiles(t *testing.T) (dir string) {
	t.Helper()
	dir = goodFiles(t)
	job := strings.Replace(goodJob, "selvedge: 15}", "selvedge: 15, price: 3, faces: different}\n  - {name: CSM 450, construction: mat, areal_mass: 450 g/m2, width: 1270, price: 2}", 1)
	job = strings.Replace(job, "tolerance: 3}", "tolerance: 3}\n      - {order: 2, ply: U02, outline: FIN, fabric: CSM 450, count: 3}\n      - {order: 3, ply: U03, outline: FIN, fabric: WR 600, direction: 0, count: 2}", 1)
	job = strings.Replace(job, "units: mm\n", "units: mm\ncurrency: EUR\n", 1)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.yaml"), []byte(job), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "shell.svg"), []byte(strings.Replace(goodSheet, "PATH",
		goodPath+`<path id="FIN" d="M0 700 L400 720 L330 950 L60 900 Z"/>`, 1)), 0o644))
	return dir
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(data)
}

// Shards run as processes in any order, some killed in the middle and run
// again, into one folder: the tables and the page are those of the single run
// byte for byte.
func TestStudyShardsAsProcesses(t *testing.T) {
	dir := studyFiles(t)
	job := filepath.Join(dir, "job.yaml")
	vary := []string{"--vary", "width=WR 600:900,1000,1270", "--relax=gap,width,turning", "--effort", "2", "--seeds", "2", "--workers", "1"}
	study := func(out string, more ...string) []string {
		return append(append([]string{"study", job, "-o", filepath.Join(dir, out)}, vary...), more...)
	}
	status, told, said := command(t, study("whole")...)
	require.Equal(t, 0, status, said)
	require.Contains(t, told, "study.html")

	const shards = 4
	parts := filepath.Join(dir, "parts", "nests")
	results := func() int {
		found, _ := filepath.Glob(filepath.Join(parts, "*.json"))
		return len(found)
	}
	killed := func(cmd *exec.Cmd) bool {
		status, ok := cmd.ProcessState.Sys().(syscall.WaitStatus)
		return ok && status.Signaled()
	}
	for i, k := range rand.Perm(shards) {
		env := []string{"JOB_COMPLETION_INDEX=" + strconv.Itoa(k)}
		shard := study("parts", "--shard", fmt.Sprintf("auto/%d", shards))
		before := results()
		if i%2 == 0 {
			// Killed with one nest of its own done and the next begun.
			cmd := act(t, append(env, actUntil+"=nest 2 of"), shard...)
			text, _ := cmd.CombinedOutput()
			require.True(t, killed(cmd), string(text))
			require.Equal(t, before+1, results())
		} else {
			// Killed at any time, be it before its first nest or after its last.
			cmd := act(t, env, shard...)
			require.NoError(t, cmd.Start())
			time.Sleep(time.Duration(rand.IntN(300)) * time.Millisecond)
			_ = cmd.Process.Kill()
			_ = cmd.Wait()
		}
		if k == 1 {
			continue // lost for good
		}
		text, err := act(t, env, shard...).CombinedOutput()
		require.NoError(t, err, string(text))
	}
	// The lost shard is named, and the merge says so by its status. Should the
	// killed process have been done, nothing is lost.
	status, _, said = command(t, "study", job, "-o", filepath.Join(dir, "parts"), "--merge")
	if status != 0 {
		require.Equal(t, 1, status)
		require.Contains(t, said, "shard 2/4 lacks")
		require.NotContains(t, said, "shard 1/4")
		require.Contains(t, said, "--shard 2/4")
	}
	status, _, said = command(t, study("parts", "--shard", "2/4")...)
	require.Equal(t, 0, status, said)
	for range 2 {
		status, _, said = command(t, "study", job, "-o", filepath.Join(dir, "parts"), "--merge")
		require.Equal(t, 0, status, said)
		for _, f := range []string{"cases.csv", "rules.csv", "results.json", "study.html", "study.json"} {
			require.Equal(t, read(t, filepath.Join(dir, "whole", f)), read(t, filepath.Join(dir, "parts", f)), f)
		}
	}
	// A whole run on a folder that has everything lays nothing.
	status, _, said = command(t, study("parts")...)
	require.Equal(t, 0, status, said)
	require.Contains(t, said, "were done before")
	require.NotContains(t, said, " nest 1 of")

	rows, err := csv.NewReader(strings.NewReader(read(t, filepath.Join(dir, "whole", "rules.csv")))).ReadAll()
	require.NoError(t, err)
	require.Equal(t, "verdict", rows[0][len(rows[0])-1])
	require.Len(t, rows, 1+4, "gap, two widths, turning")
}

// The files that are shipped fit the program: as many shards as tasks, flags
// that exist, and a study at the end.
func TestShippedSchedulerFiles(t *testing.T) {
	shipped := filepath.Join("..", "..", "testdata", "study")
	dir := studyFiles(t)
	job := filepath.Join(dir, "job.yaml")

	t.Run("indexed job", func(t *testing.T) {
		// Every key of the manifest must be one of the published type: batch/v1 Job
		// of the Kubernetes API, v1.34 (P). Nothing else is let through.
		var m struct {
			APIVersion string `yaml:"apiVersion"`
			Kind       string `yaml:"kind"`
			Metadata   struct {
				Name string `yaml:"name"`
			} `yaml:"metadata"`
			Spec struct {
				CompletionMode       string `yaml:"completionMode"`
				Completions          int    `yaml:"completions"`
				Parallelism          int    `yaml:"parallelism"`
				BackoffLimitPerIndex int    `yaml:"backoffLimitPerIndex"`
				MaxFailedIndexes     int    `yaml:"maxFailedIndexes"`
				Template             struct {
					Spec struct {
						RestartPolicy                 string `yaml:"restartPolicy"`
						TerminationGracePeriodSeconds int    `yaml:"terminationGracePeriodSeconds"`
						Containers                    []struct {
							Name      string   `yaml:"name"`
							Image     string   `yaml:"image"`
							Command   []string `yaml:"command"`
							Args      []string `yaml:"args"`
							Resources struct {
								Requests map[string]string `yaml:"requests"`
								Limits   map[string]string `yaml:"limits"`
							} `yaml:"resources"`
							VolumeMounts []struct {
								Name      string `yaml:"name"`
								MountPath string `yaml:"mountPath"`
							} `yaml:"volumeMounts"`
						} `yaml:"containers"`
						Volumes []struct {
							Name                  string `yaml:"name"`
							PersistentVolumeClaim struct {
								ClaimName string `yaml:"claimName"`
							} `yaml:"persistentVolumeClaim"`
						} `yaml:"volumes"`
					} `yaml:"spec"`
				} `yaml:"template"`
			} `yaml:"spec"`
		}
		require.NoError(t, yaml.UnmarshalWithOptions([]byte(read(t, filepath.Join(shipped, "kubernetes.yaml"))), &m, yaml.Strict()))
		require.Equal(t, "batch/v1", m.APIVersion)
		require.Equal(t, "Job", m.Kind)
		require.Equal(t, "Indexed", m.Spec.CompletionMode)
		// A limit for each index asks for pods that are never started again in
		// place, and no more indexes can fail than there are.
		require.Equal(t, "Never", m.Spec.Template.Spec.RestartPolicy)
		require.Positive(t, m.Spec.BackoffLimitPerIndex)
		require.LessOrEqual(t, m.Spec.MaxFailedIndexes, m.Spec.Completions)
		require.LessOrEqual(t, m.Spec.Parallelism, m.Spec.Completions)
		require.Regexp(t, `^[a-z0-9]([-a-z0-9]*[a-z0-9])?$`, m.Metadata.Name)
		require.Equal(t, m.Spec.Template.Spec.Volumes[0].Name, m.Spec.Template.Spec.Containers[0].VolumeMounts[0].Name)
		c := m.Spec.Template.Spec.Containers[0]
		require.Equal(t, []string{"plyroom"}, c.Command)
		require.Equal(t, fmt.Sprintf("auto/%d", m.Spec.Completions), c.Args[len(c.Args)-1])
		out := filepath.Join(dir, "indexed")
		args := append([]string{}, c.Args...)
		for i := range args {
			args[i] = strings.ReplaceAll(args[i], "/study/job.yaml", job)
			args[i] = strings.ReplaceAll(args[i], "/study/OUT", out)
			if i > 0 && (args[i-1] == "--effort" || args[i-1] == "--seeds") {
				args[i] = "1"
			}
		}
		for _, k := range rand.Perm(m.Spec.Completions) {
			t.Setenv("JOB_COMPLETION_INDEX", strconv.Itoa(k))
			status, _, said := command(t, args...)
			require.Equal(t, 0, status, said)
		}
		status, _, said := command(t, "study", job, "-o", out, "--merge")
		require.Equal(t, 0, status, said)
	})
	t.Run("job array", func(t *testing.T) {
		if _, err := exec.LookPath("sh"); err != nil {
			t.Skip("SKIPPED: no shell on this machine, the job script was not run")
		}
		script := filepath.Join(shipped, "slurm.sh")
		for _, shell := range []string{"sh", "bash"} {
			if path, err := exec.LookPath(shell); err == nil {
				text, err := exec.Command(path, "-n", script).CombinedOutput()
				require.NoError(t, err, "%s: %s", shell, text)
			}
		}
		require.Contains(t, read(t, script), "#SBATCH --array=0-7\n")
		// Stands in for the program: writes its arguments, one a line.
		fake := filepath.Join(dir, "fake")
		require.NoError(t, os.WriteFile(fake, []byte("#!/bin/sh\nprintf '%s\\n' \"$@\"\n"), 0o755))
		out := filepath.Join(dir, "array")
		for _, k := range rand.Perm(8) {
			cmd := exec.Command("sh", script, job, out)
			cmd.Env = append(os.Environ(), "PLYROOM="+fake, "SEEDS=1", "EFFORT=1")
			text, err := cmd.Output()
			require.NoError(t, err)
			t.Setenv("JOB_COMPLETION_INDEX", "")
			t.Setenv("SLURM_ARRAY_TASK_ID", strconv.Itoa(k))
			status, _, said := command(t, strings.Split(strings.TrimSpace(string(text)), "\n")...)
			require.Equal(t, 0, status, said)
		}
		status, _, said := command(t, "study", job, "-o", out, "--merge")
		require.Equal(t, 0, status, said)
	})
}

// A study that is stopped keeps what is done, says so by its status, and goes
// on from there.
func TestStudyStops(t *testing.T) {
	dir := studyFiles(t)
	job := filepath.Join(dir, "job.yaml")
	args := []string{"study", job, "-o", filepath.Join(dir, "S"), "--vary", "gap=0..20/1", "--effort", "1", "--seeds", "2"}
	ctx, cancel := contextFor(t, 300*time.Millisecond)
	defer cancel()
	status, said := executeWith(ctx, args...)
	if status != 0 {
		require.Equal(t, 1, status, said)
		require.Contains(t, said, "goes on from there")
	}
	status, told, said := command(t, append(args, "--json")...)
	require.Equal(t, 0, status, said)
	var doc struct {
		Rows []any `json:"rows"`
	}
	require.NoError(t, json.Unmarshal([]byte(told), &doc))
	require.Len(t, doc.Rows, 21)
}

// Every axis is laid by the real packer: kits kept together, plies that may be
// divided, spreads, turning and all the rest.
func TestStudyAxes(t *testing.T) {
	dir := studyFiles(t)
	job := filepath.Join(dir, "job.yaml")
	text := strings.Replace(read(t, job), "  gap: 3\n", "  gap: 3\n  layers: 2\n  spreads: [[WR 600, CSM 450]]\n", 1)
	require.NoError(t, os.WriteFile(job, []byte(text), 0o644))
	for _, vary := range []string{"keep_together=yes,no", "keep_together=Upper shell:yes,no", "splits=none,allowed", "splits=Upper shell/U01:allowed,job", "spreads=none,time,fabric,recommended",
		"turning=allowed,forbidden", "tolerance=0,5", "angle_tolerance=0,5", "selvedge=WR 600:0,20", "end_allowance=0,30", "width=WR 600:+0,+100", "gap=0,5", "units=1,2", "units=Upper shell:1,3"} {
		status, told, said := command(t, "study", job, "-o", filepath.Join(dir, "S"), "--vary", vary, "--extend", "--effort", "1", "--seeds", "1", "--workers", "1", "--json")
		require.Equal(t, 0, status, "%s: %s", vary, said)
		var doc struct {
			Rows []struct {
				Seeds int `json:"seeds"`
				Total struct {
					Metres struct {
						Mean float64 `json:"mean"`
					} `json:"metres"`
				} `json:"total"`
			} `json:"rows"`
		}
		require.NoError(t, json.Unmarshal([]byte(told), &doc))
		require.Len(t, doc.Rows, strings.Count(vary, ",")+1, vary)
		for _, r := range doc.Rows {
			require.Equal(t, 1, r.Seeds, vary)
			require.Positive(t, r.Total.Metres.Mean, vary)
		}
	}
}

func TestStudyUsage(t *testing.T) {
	dir := studyFiles(t)
	job := filepath.Join(dir, "job.yaml")
	out := filepath.Join(dir, "S")
	for _, args := range [][]string{
		{"study", job}, {"study", job, "-o", out}, {"study", job, "-o", out, "--merge"},
		{"study", job, "-o", out, "--vary", "gap=x"}, {"study", job, "-o", out, "--vary", "width=WR:1000"},
		{"study", job, "-o", out, "--relax=colour"}, {"study", job, "-o", out, "--relax", "--effort", "0"},
		{"study", job, "-o", out, "--relax", "--seeds", "0"}, {"study", job, "-o", out, "--relax", "--shard", "5/4"},
		{"study", job, "-o", out, "--relax", "--merge", "--shard", "1/4"}, {"study", job, "-o", dir, "--relax"},
		{"study", job, "-o", out, "--relax", "--from", "x"},
	} {
		status, _, said := command(t, args...)
		require.Equal(t, 2, status, "%v: %s", args, said)
		require.True(t, strings.HasPrefix(said, "plyroom: "), "%v: %s", args, said)
	}
	require.Equal(t, []string{"job.yaml", "shell.svg"}, names(t, dir))

	require.NoError(t, os.WriteFile(filepath.Join(dir, "b.yaml"), []byte(strings.Replace(read(t, job), "revision: A", "revision: B", 1)), 0o644))
	status, _, said := command(t, "study", job, "-o", out, "--vary", "gap=3", "--effort", "1", "--seeds", "1")
	require.Equal(t, 0, status, said)
	status, _, said = command(t, "study", filepath.Join(dir, "b.yaml"), "-o", out, "--vary", "gap=3", "--effort", "1", "--seeds", "1")
	require.Equal(t, 2, status)
	require.Contains(t, said, "revision A")
}

func contextFor(t *testing.T, d time.Duration) (context.Context, context.CancelFunc) {
	return context.WithTimeout(t.Context(), d)
}

func executeWith(ctx context.Context, args ...string) (int, string) {
	var out, said bytes.Buffer
	status := execute(ctx, args, &out, &said)
	return status, said.String()
}
