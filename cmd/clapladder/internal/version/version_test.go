package version

import (
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type here struct{}

// The linker says nothing where the variable it is to set does not exist.
func TestTheReleaseScriptSetsTheVariableThatIsRead(t *testing.T) {
	script, err := os.ReadFile("../../../../.release/build")
	if os.IsNotExist(err) {
		t.Skip("the script is not here")
	}
	require.NoError(t, err)
	assert.Contains(t, string(script), "-X "+reflect.TypeFor[here]().PkgPath()+".Release=$version")
}

func TestAReleaseNamesItsVersion(t *testing.T) {
	before := Release
	t.Cleanup(func() { Release = before })
	Release = "1.2.3"
	assert.Equal(t, "clapladder 1.2.3", Tool())
	var line strings.Builder
	require.NoError(t, Write(&line))
	assert.Regexp(t, `^clapladder 1\.2\.3 \(go\S+, \w+/\w+\)\n$`, line.String())
	Release = ""
	assert.NotEmpty(t, Of(), "a build from source knows something too")
}
