package jobfile_test

import (
	"fmt"
	"os"
	"path/filepath"

	"plyroom/shapes/jobfile"
)

func ExampleRead() {
	job, problems := jobfile.Read("../../testdata/nacelle/job.yaml")
	if err := problems.Err(); err != nil {
		fmt.Println(err)
		return
	}
	for _, part := range job.Parts {
		fmt.Printf("%s, revision %s: %d units of %d plies\n", part.Name, part.Revision, part.Units, len(part.Plies))
	}
	// Output:
	// Upper shell, revision C: 2 units of 28 plies
	// Lower shell, revision C: 2 units of 24 plies
	// Spinner, revision B: 2 units of 12 plies
	// Spinner backplate, revision B: 2 units of 11 plies
	// Bulkhead, revision A: 2 units of 13 plies
	// Hatch lid, revision B: 2 units of 8 plies
}

// Every mistake is reported in one run, with its place and the nearest word
// that would have been right.
func ExampleRead_mistakes() {
	folder, err := os.MkdirTemp("", "job")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(folder)
	path := filepath.Join(folder, "job.yaml")
	job := "job: Fairing\nfabrics:\n  - name: WR 600\n    construction: plane\n    areal_mass: 600 g/m3\n    width: 1270\nparts: []\n"
	if err := os.WriteFile(path, []byte(job), 0o600); err != nil {
		fmt.Println(err)
		return
	}
	_, problems := jobfile.Read(path)
	for _, p := range problems {
		fmt.Printf("line %d, column %d: %s; %s\n", p.Line, p.Column, p.Message, p.Hint)
	}
	// Output:
	// line 4, column 19: construction: unknown word "plane"; did you mean "plain"?
	// line 5, column 17: areal_mass: "g/m3" is no unit of areal mass; did you mean "g/m2"?
	// line 7, column 8: parts is empty;
}
