package trace

import _ "embed"

//go:embed trace.schema.json
var schema []byte

// Schema is the JSON Schema (draft 2020-12) of trace.json.
func Schema() []byte { return append([]byte(nil), schema...) }
