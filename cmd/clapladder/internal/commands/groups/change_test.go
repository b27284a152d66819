package groups

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"clapladder.example/cmd/clapladder/internal/console"
)

func TestForgetAsksSomebodyAtATerminal(t *testing.T) {
	var asked strings.Builder
	con := &console.Console{Ctx: t.Context(), Stdin: strings.NewReader("no\nyes\n"), Stderr: &asked, Asks: true}
	assert.False(t, confirm(con, "Forget it?"))
	assert.Equal(t, "Forget it? Write yes: ", asked.String())
	con.Stdin = strings.NewReader("YES\n")
	assert.True(t, confirm(con, "Forget it?"))
	con.Stdin = strings.NewReader("")
	assert.False(t, confirm(con, "Forget it?"), "nothing is no")
	con.Asks = false
	assert.True(t, confirm(con, "Forget it?"), "in a script the command is the answer")
}
