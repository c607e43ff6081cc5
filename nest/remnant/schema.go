package remnant

import _ "embed"

//go:embed remnant.schema.json
var schema []byte

// Schema is the JSON Schema (draft 2020-12) of a remnant's file.
func Schema() []byte { return append([]byte(nil), schema...) }
