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
// complete and check job files with. What it accepts is what Read accepts, as
// far as a schema can tell: names that must be known, files and sums are
// Read's alone.
func Schema() []byte { return bytes.Clone(schema) }
