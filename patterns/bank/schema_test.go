package bank_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"clapladder.example/patterns/bank"
	"github.com/pelletier/go-toml/v2"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// compile reads a schema that lies beside the code.
func compile(t *testing.T, name string) *jsonschema.Schema {
	t.Helper()
	file, err := os.Open(name)
	require.NoError(t, err)
	defer file.Close()
	document, err := jsonschema.UnmarshalJSON(file)
	require.NoError(t, err)
	compiler := jsonschema.NewCompiler()
	require.NoError(t, compiler.AddResource(name, document))
	schema, err := compiler.Compile(name)
	require.NoError(t, err)
	return schema
}

// value is a TOML text as JSON values.
func value(t *testing.T, text []byte) any {
	t.Helper()
	var table map[string]any
	require.NoError(t, toml.Unmarshal(text, &table))
	asJSON, err := json.Marshal(table)
	require.NoError(t, err)
	out, err := jsonschema.UnmarshalJSON(strings.NewReader(string(asJSON)))
	require.NoError(t, err)
	return out
}

func TestTheSchemasDescribeWhatIsReadAndWritten(t *testing.T) {
	phrases, pieces := compile(t, "bank.schema.json"), compile(t, "repertoire.schema.json")
	assert.NoError(t, phrases.Validate(value(t, bank.StarterText())))
	assert.NoError(t, pieces.Validate(value(t, bank.StarterRepertoireText())))

	written, err := bank.Starter().EncodeTOML()
	require.NoError(t, err)
	assert.NoError(t, phrases.Validate(value(t, written)))
	written, err = bank.StarterRepertoire().EncodeTOML()
	require.NoError(t, err)
	assert.NoError(t, pieces.Validate(value(t, written)))
}

func TestWhatTheSchemaRefusesTheReaderRefusesToo(t *testing.T) {
	phrases := compile(t, "bank.schema.json")
	for law, text := range map[string]string{
		"no phrase":           "phrase = []",
		"an unknown key":      "[[phrase]]\nid=\"a\"\nmeter=\"4/4\"\nrhythm=\"x x x x\"\ncolour=\"red\"",
		"no rhythm":           "[[phrase]]\nid=\"a\"\nmeter=\"4/4\"",
		"an id of two words":  "[[phrase]]\nid=\"a b\"\nmeter=\"4/4\"\nrhythm=\"x x x x\"",
		"a tempo of 500":      "[[phrase]]\nid=\"a\"\nmeter=\"4/4\"\nrhythm=\"x x x x\"\ntempo=500",
		"half a tier":         "[[phrase]]\nid=\"a\"\nmeter=\"4/4\"\nrhythm=\"x x x x\"\ntier=2.5",
		"a tag with a comma":  "[[phrase]]\nid=\"a\"\nmeter=\"4/4\"\nrhythm=\"x x x x\"\ntags=[\"a,b\"]",
		"a tier out of range": "[[phrase]]\nid=\"a\"\nmeter=\"4/4\"\nrhythm=\"x x x x\"\ntier=21",
	} {
		t.Run(law, func(t *testing.T) {
			assert.Error(t, phrases.Validate(value(t, []byte(text))))
			_, err := bank.Load("bank.toml", []byte(text))
			assert.Error(t, err)
		})
	}
}
