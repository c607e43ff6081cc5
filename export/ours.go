package export

import (
	"fmt"
	"io/fs"
	"path/filepath"
	"regexp"
	"strings"
)

// cutFolder matches where cut files stand: those of the run, those of one layout
// or of the rest of one, and those of a recut.
const cutFolder = `(?:recut-\d+/)?cut(?:-L\d+(?:-[a-z0-9-]+)?)?`

// ours are the files of a run, by path inside its folder: those written with
// the run and those that later commands add to it. The names of cut files
// begin with the layout's. What file managers leave everywhere counts as well.
var ours = regexp.MustCompile(`^(?:` + strings.Join([]string{
	`layouts\.json|labels\.pdf|summary\.csv|report\.html|trace\.(?:json|csv)`,
	cutFolder + `/(?:layouts\.txt|L\d+[^/]*\.(?:dxf|svg|plt|hpgl2|ngc))`,
	`kits/(?:overview|off-the-table|timetable)\.csv|kits/cutting-room\.pdf|kits/kit-\d+[^/]*\.(?:csv|pdf)`,
	`recut-\d+/(?:recut\.json|label\.pdf|trace\.json)`,
	`\.[^/]*\.plyroom-[0-9a-f]{8}-\d+-[0-9a-f]{12}\.(?:new|old)/.*`,
	`(?:.*/)?(?:\.DS_Store|Thumbs\.db|desktop\.ini)`,
}, "|") + `)$`)

// maxNamed is how many entries an error names.
const maxNamed = 5

// strangers lists what lies in the folder of a run and no command wrote there,
// with '/' between folders. A folder that no command makes is named as a
// whole.
func strangers(run string) ([]string, error) {
	var out []string
	err := filepath.WalkDir(run, func(path string, d fs.DirEntry, err error) error {
		if err != nil || path == run {
			return err
		}
		rel, err := filepath.Rel(run, path)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		if d.IsDir() {
			if !ourFolders.MatchString(rel) {
				out = append(out, rel+"/")
				return filepath.SkipDir
			}
			return nil
		}
		if !d.Type().IsRegular() || !ours.MatchString(rel) {
			out = append(out, rel)
		}
		return nil
	})
	return out, err
}

// ourFolders are the folders a run and its parts are made of.
var ourFolders = regexp.MustCompile(`^(?:` + cutFolder + `|kits|recut-\d+|\.[^/]*\.plyroom-[0-9a-f]{8}-\d+-[0-9a-f]{12}\.(?:new|old)(?:/.*)?)$`)

// noStrangers reports the strangers in the folder of a run, or nil.
func noStrangers(run string) error {
	found, err := strangers(run)
	switch {
	case err != nil:
		return fmt.Errorf("cannot be read through: %w", plainCause(err))
	case len(found) == 0:
		return nil
	}
	words := strings.Join(found[:min(len(found), maxNamed)], ", ")
	if more := len(found) - maxNamed; more > 0 {
		words += fmt.Sprintf(" and %d more", more)
	}
	return fmt.Errorf("%w: %s; move that away first, or choose another folder", ErrStrangers, words)
}
