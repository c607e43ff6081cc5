package recut

import _ "embed"

//go:embed recut.schema.json
var schema []byte

// Schema is the JSON Schema (draft 2020-12) of recut.json and of the files in
// the list of recuts.
func Schema() []byte { return append([]byte(nil), schema...) }
