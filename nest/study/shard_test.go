package study

import (
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func samplePlan(t interface{ Fatal(...any) }) *Plan {
	axis := func(text string) Axis {
		a, err := ParseAxis(text)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	p, err := NewPlan(sampleJob(), Spec{Effort: 1, Seed: 7, Seeds: 2, Relax: []string{"width", "gap", "turning"},
		Axes: []Axis{axis("width=WR 600:500,1000"), axis("units=1,2")}})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func table(t require.TestingT, p *Plan, s *Store, more ...string) string {
	results, err := s.Read()
	require.NoError(t, err)
	for _, dir := range more {
		require.NoError(t, s.ReadInto(dir, results))
	}
	data, err := json.Marshal(p.Merge(results))
	require.NoError(t, err)
	return string(data)
}

// Any partition into shards, run in any order, some twice, some into folders
// of their own and merged after, gives the bytes of the single run.
func TestShardsGiveTheWhole(t *testing.T) {
	p := samplePlan(t)
	whole, err := Open(t.TempDir(), p, false)
	require.NoError(t, err)
	whole.quick = true
	l := &pretend{}
	require.NoError(t, whole.Run(t.Context(), Choice{}, l.lay, nil))
	require.Equal(t, len(p.Nests), l.calls)
	want := table(t, p, whole)
	require.NotContains(t, want, `"missing"`)

	root := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 9).Draw(t, "shards")
		order := rapid.Permutation(append(numbers(n), rapid.SliceOfN(rapid.IntRange(1, n), 0, 3).Draw(t, "twice")...)).Draw(t, "order")
		dir, err := os.MkdirTemp(root, "")
		require.NoError(t, err)
		main, err := Open(filepath.Join(dir, "main"), p, false)
		require.NoError(t, err)
		main.quick = true
		var others []string
		for i, k := range order {
			at := main
			if rapid.Bool().Draw(t, "apart") {
				sub := filepath.Join(dir, string(rune('a'+i)))
				at, err = Open(sub, p, false)
				require.NoError(t, err)
				at.quick = true
				others = append(others, sub)
			}
			require.NoError(t, at.Run(t.Context(), Choice{Shard: Shard{k, n}, Again: rapid.Bool().Draw(t, "again")}, (&pretend{}).lay, nil))
		}
		others = rapid.Permutation(others).Draw(t, "merge order")
		if got := table(t, p, main, append(others, others...)...); got != want {
			t.Fatalf("%d shards in order %v give another table", n, order)
		}
	})
}

func numbers(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i + 1
	}
	return out
}

// Every nest is in exactly one shard, and the shards differ by one nest at
// most.
func TestShardsPartition(t *testing.T) {
	for _, n := range []int{1, 2, 7, 16} {
		for _, nests := range []int{1, 5, 16, 100} {
			least, most := nests, 0
			total := 0
			for k := 1; k <= n; k++ {
				have := 0
				for i := 1; i <= nests; i++ {
					if (Shard{k, n}).Has(i) {
						have++
					}
				}
				total += have
				least, most = min(least, have), max(most, have)
			}
			require.Equal(t, nests, total)
			require.LessOrEqual(t, most-least, 1)
		}
	}
}

// What is there is merged; what is not is named by shard and can be run alone.
func TestLostShardIsNamed(t *testing.T) {
	p := samplePlan(t)
	s, err := Open(t.TempDir(), p, false)
	require.NoError(t, err)
	for _, k := range rand.Perm(5) {
		if k != 2 {
			require.NoError(t, s.Run(t.Context(), Choice{Shard: Shard{k + 1, 5}}, (&pretend{}).lay, nil))
		}
	}
	results, err := s.Read()
	require.NoError(t, err)
	lost := p.Lost(results, 5)
	require.Len(t, lost, 1)
	require.Equal(t, Shard{3, 5}, lost[0].Shard)
	require.Equal(t, lost[0].Of, lost[0].Missing)
	part := p.Merge(results)
	require.Len(t, part.Missing, lost[0].Missing)

	l := &pretend{}
	require.NoError(t, s.Run(t.Context(), Choice{IDs: part.Missing[:1]}, l.lay, nil))
	require.Equal(t, 1, l.calls)
	require.NoError(t, s.Run(t.Context(), Choice{Shard: Shard{3, 5}}, l.lay, nil))
	require.Equal(t, lost[0].Missing, l.calls)
	results, err = s.Read()
	require.NoError(t, err)
	require.Empty(t, p.Merge(results).Missing)
}

func TestParseShard(t *testing.T) {
	for _, tt := range []struct {
		text string
		env  map[string]string
		want Shard
		says string
	}{
		{"3/8", nil, Shard{3, 8}, ""},
		{"auto/8", map[string]string{"JOB_COMPLETION_INDEX": "0"}, Shard{1, 8}, ""},
		{"auto/8", map[string]string{"JOB_COMPLETION_INDEX": "7"}, Shard{8, 8}, ""},
		{"auto", map[string]string{"JOB_COMPLETION_INDEX": "7"}, Shard{}, "auto/N"},
		{"auto/8", map[string]string{"JOB_COMPLETION_INDEX": "8"}, Shard{}, "counts from 0"},
		{"auto", map[string]string{"SLURM_ARRAY_TASK_ID": "5", "SLURM_ARRAY_TASK_MIN": "3", "SLURM_ARRAY_TASK_COUNT": "4"}, Shard{3, 4}, ""},
		{"auto", map[string]string{"SLURM_ARRAY_TASK_ID": "9", "SLURM_ARRAY_TASK_MIN": "1", "SLURM_ARRAY_TASK_COUNT": "4", "SLURM_ARRAY_TASK_STEP": "4"}, Shard{3, 4}, ""},
		{"auto", map[string]string{"SLURM_ARRAY_TASK_ID": "8", "SLURM_ARRAY_TASK_MIN": "1", "SLURM_ARRAY_TASK_COUNT": "4", "SLURM_ARRAY_TASK_STEP": "4"}, Shard{}, "from 1 by 4"},
		// A lost task rerun as an array of one is still shard 6 of 8.
		{"auto/8", map[string]string{"SLURM_ARRAY_TASK_ID": "5", "SLURM_ARRAY_TASK_MIN": "5", "SLURM_ARRAY_TASK_COUNT": "1"}, Shard{6, 8}, ""},
		{"auto", nil, Shard{}, "neither JOB_COMPLETION_INDEX nor SLURM_ARRAY_TASK_ID"},
		{"auto/8", map[string]string{"JOB_COMPLETION_INDEX": "x"}, Shard{}, "no whole number"},
		{"0/8", nil, Shard{}, "K/N"}, {"9/8", nil, Shard{}, "K/N"}, {"3", nil, Shard{}, "K/N"}, {"3/0", nil, Shard{}, "K/N"}, {"a/b", nil, Shard{}, "K/N"},
	} {
		got, err := ParseShard(tt.text, func(k string) string { return tt.env[k] })
		require.Equal(t, tt.want, got, "%s %v", tt.text, tt.env)
		if tt.says == "" {
			require.NoError(t, err)
		} else {
			require.ErrorContains(t, err, tt.says, "%s %v", tt.text, tt.env)
		}
	}
}
