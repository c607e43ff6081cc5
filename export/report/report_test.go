package report

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"plyroom/export/internal/sample"
	"plyroom/nest"
)

func render(t testing.TB, rec *nest.Record) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(&b, Input{Record: rec}))
	return b.String()
}

// TestKeep leaves pages for looking at where REPORT_OUT names a folder.
func TestKeep(t *testing.T) {
	dir := os.Getenv("REPORT_OUT")
	if dir == "" {
		t.Skip("REPORT_OUT names no folder")
	}
	keep := func(name, page string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(page), 0o666))
	}
	rec := sample.Record(sample.Options{})
	sample.Spread(rec, "BX 600")
	keep("report.html", render(t, rec))
	keep("large.html", render(t, sample.Record(sample.Options{Units: 4, Repeat: 7, Table: 6000})))
}
