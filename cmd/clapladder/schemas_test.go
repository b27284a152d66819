package main

import (
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Strict validators refuse a schema that requires members of what is not said to be an object (the
// strictTypes mode of Ajv is one).
func TestEveryRequiredOfTheSchemasStandsBesideAnObject(t *testing.T) {
	found := 0
	require.NoError(t, filepath.WalkDir(filepath.Join("..", ".."),
		func(path string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() && strings.HasPrefix(entry.Name(), ".") && len(entry.Name()) > 2 {
				return fs.SkipDir
			}
			if !strings.HasSuffix(path, ".schema.json") {
				return nil
			}
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			var schema any
			require.NoError(t, json.Unmarshal(data, &schema))
			eachObject(schema, "", func(at string, object map[string]any) {
				if _, ok := object["required"].([]any); ok {
					found++
					assert.Equal(t, "object", object["type"], "%s %s", path, at)
				}
			})
			return nil
		}))
	assert.Greater(t, found, 20)
}

func eachObject(value any, at string, do func(at string, object map[string]any)) {
	switch x := value.(type) {
	case map[string]any:
		do(at, x)
		for key, inner := range x {
			eachObject(inner, at+"/"+key, do)
		}
	case []any:
		for _, inner := range x {
			eachObject(inner, at+"/*", do)
		}
	}
}
