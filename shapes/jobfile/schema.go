package jobfile

import (
	"bytes"
	_ "embed"
)

// schema is written from the table in keys.go by the tests of this package:
//
//	go test ./shapes/jobfile -run 'TestSchema$' -regen
//
//go:embed job.schema.json
var schema []byte

// Schema is the JSON Schema (draft 2020-12) of the job file, for editors to
// complete and check job files with. A job it accepts may still name unknown
// fabrics or files, or figures that do not agree: those are Read's alone to
// find. Read in turn takes a few spellings that the schema does not, such as
// figures in quotes and units written out ("50 inches").
func Schema() []byte { return bytes.Clone(schema) }
