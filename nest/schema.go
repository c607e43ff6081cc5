package nest

import _ "embed"

//go:embed layouts.schema.json
var schema []byte

// Schema is the JSON Schema (draft 2020-12) of layouts.json.
func Schema() []byte { return append([]byte(nil), schema...) }
