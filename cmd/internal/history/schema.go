package history

import (
	_ "embed"
	"slices"
)

//go:embed history.schema.json
var schema []byte

// Schema returns the JSON Schema (2020-12) of a [Record], which is one line of a
// log. The caller owns the slice.
func Schema() []byte { return slices.Clone(schema) }
