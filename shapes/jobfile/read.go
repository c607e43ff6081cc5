package jobfile

import (
	"sort"

	"plyroom/shapes"
)

// Read reads a job file, its ply tables and its drawings. The problems are
// everything that is wrong or doubtful; where Problems.Err is nil the job is
// complete and consistent, otherwise the job is nil. Read does not panic,
// whatever the files hold.
func Read(path string) (*shapes.Job, shapes.Problems) {
	return ReadWith(path, ReadDrawing)
}

// ReadWith is Read with another reader of drawings.
func ReadWith(path string, outlines OutlineReader) (*shapes.Job, shapes.Problems) {
	return read(path, disk{}, outlines)
}

func read(path string, files fileSource, outlines OutlineReader) (*shapes.Job, shapes.Problems) {
	data, err := files.read(path, maxJobBytes)
	if err != nil {
		return nil, shapes.Problems{{
			Severity: shapes.Fault, File: path, Message: "the job file cannot be read: " + why(err),
		}}
	}
	root, problems := parseYAML(path, data)
	if root == nil {
		return nil, problems
	}
	r := &reader{
		files:    files,
		outlines: outlines,
		file:     path,
		job:      &shapes.Job{File: path},
		bare:     "mm",
		fabrics:  map[string]*fabricEntry{},
		drawings: map[string]*drawingEntry{},
	}
	r.readJob(root)
	r.reportSpared()
	sortByPlace(r.problems, path)
	if r.problems.Err() != nil {
		return nil, r.problems
	}
	return r.job, r.problems
}

// sortByPlace sorts problems: the job file first, then the others in the order
// they were met, each from top to bottom.
func sortByPlace(problems shapes.Problems, job string) {
	rank := map[string]int{job: 0}
	for _, p := range problems {
		if _, met := rank[p.File]; !met {
			rank[p.File] = len(rank)
		}
	}
	sort.SliceStable(problems, func(i, j int) bool {
		a, b := problems[i], problems[j]
		if a.File != b.File {
			return rank[a.File] < rank[b.File]
		}
		if a.Line != b.Line {
			return a.Line < b.Line
		}
		return a.Column < b.Column
	})
}

func (r *reader) readJob(root *node) {
	m := r.fields(root, jobForm, "")
	if m == nil {
		return
	}
	if unit, ok := m.word("units"); ok {
		r.bare = unit
	}
	r.job.Name, _ = m.text("job")
	r.job.Revision, _ = m.text("revision")
	r.job.Date, _ = m.date("date")
	r.job.Currency, _ = m.text("currency")
	for _, n := range m.list("fabrics") {
		r.readFabric(n)
	}
	r.readCutting(m)
	r.checkLengths()
	r.readLaminating(m)
	r.checkRollNames()
	r.readParts(m.list("parts"))
	r.readTogether(r.together)
}
