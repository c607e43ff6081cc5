package study

import (
	"fmt"
	"strconv"
	"strings"
)

// A Shard is one share of the nests of a study: number K of N, from 1. The
// zero Shard is all of them.
type Shard struct{ K, N int }

// maxShards bounds N.
const maxShards = 1_000_000

// Has reports whether the nest of a number (from 1) is in the shard. Nests are
// dealt out in turn, so that the shards differ by one nest at most and each
// has nests of every size.
func (s Shard) Has(number int) bool {
	return s.N == 0 || (number-1)%s.N == s.K-1
}

// String writes the shard as it is asked for: "3/8".
func (s Shard) String() string {
	if s.N == 0 {
		return "all"
	}
	return fmt.Sprintf("%d/%d", s.K, s.N)
}

// ParseShard reads "K/N", or finds K where "auto" or "auto/N" stands: from
// JOB_COMPLETION_INDEX, as Kubernetes Indexed Jobs set it, counting from 0, or
// from SLURM_ARRAY_TASK_ID. With N, task IDs count from 0 to N-1, so that a
// lost shard can be rerun as an array of one. Without N, it is the count of the
// Slurm array, whose IDs may begin anywhere (SLURM_ARRAY_TASK_MIN) and rise by
// any step; Kubernetes tells no count.
func ParseShard(text string, getenv func(string) string) (Shard, error) {
	k, n, cut := strings.Cut(text, "/")
	bad := func(format string, args ...any) (Shard, error) {
		return Shard{}, fmt.Errorf("--shard %s: %s", text, fmt.Sprintf(format, args...))
	}
	var s Shard
	if cut {
		var err error
		if s.N, err = strconv.Atoi(n); err != nil || s.N < 1 || s.N > maxShards {
			return bad("want K/N or auto/N with N from 1 to %d", maxShards)
		}
	}
	if k != "auto" {
		var err error
		if s.K, err = strconv.Atoi(k); err != nil || !cut || s.K < 1 || s.K > s.N {
			return bad("want K/N with K from 1 to N, auto, or auto/N")
		}
		return s, nil
	}
	number := func(name string) (int, bool, error) {
		v := getenv(name)
		if v == "" {
			return 0, false, nil
		}
		i, err := strconv.Atoi(v)
		if err != nil || i < 0 {
			return 0, false, fmt.Errorf("--shard %s: %s is %q, no whole number", text, name, v)
		}
		return i, true, nil
	}
	var name string
	index, found := 0, false
	for _, name = range []string{"JOB_COMPLETION_INDEX", "SLURM_ARRAY_TASK_ID"} {
		var err error
		if index, found, err = number(name); err != nil {
			return Shard{}, err
		}
		if found {
			break
		}
	}
	switch {
	case !found:
		return bad("neither JOB_COMPLETION_INDEX nor SLURM_ARRAY_TASK_ID is set here; give K/N")
	case s.N == 0 && name == "JOB_COMPLETION_INDEX":
		return bad("JOB_COMPLETION_INDEX is %d, but its count is told nowhere; write auto/N with N the completions of the job", index)
	case s.N == 0:
		count, ok, err := number("SLURM_ARRAY_TASK_COUNT")
		if err != nil {
			return Shard{}, err
		}
		if !ok || count < 1 || count > maxShards {
			return bad("SLURM_ARRAY_TASK_COUNT is not set; write auto/N")
		}
		least, _, err := number("SLURM_ARRAY_TASK_MIN")
		if err != nil {
			return Shard{}, err
		}
		step, ok, err := number("SLURM_ARRAY_TASK_STEP")
		if err != nil {
			return Shard{}, err
		}
		if !ok || step == 0 {
			step = 1
		}
		if (index-least)%step != 0 {
			return bad("task %d is none of an array from %d by %d", index, least, step)
		}
		s.N, index = count, (index-least)/step
	}
	if index < 0 || index >= s.N {
		return bad("%s gives shard %d of %d; it counts from 0", name, index, s.N)
	}
	s.K = index + 1
	return s, nil
}
