package tomltext

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNotationIsSpacedWithoutTouchingHowBeatsAreDivided(t *testing.T) {
	for _, c := range []struct{ law, given, want string }{
		{"one space between beats", `"x  x xx   x"`, `"x x xx x"`},
		{"spaces around bar lines", `"x x|x x"`, `"x x | x x"`},
		{"outer bar lines go", `"| x x | x x |"`, `"x x | x x"`},
		{"boxes of a beat stay as they are written", `"x.x. xx"`, `"x.x. xx"`},
		{"a run stays a run", `"x..x..x...x.x..."`, `"x..x..x...x.x..."`},
		{"dashes stay dashes", `"x - xx -"`, `"x - xx -"`},
		{"accents and strokes stay", `"X s  Pn x"`, `"X s Pn x"`},
		{"single quotes become double", `'x  x'`, `"x x"`},
		{"one line in three quotes becomes one line", "\"\"\"\nx x |\"\"\"", `"x x"`},
		{"several lines stay", "'''x  x |\n\n  x x\n'''", "\"\"\"\nx x |\nx x\"\"\""},
		{"a bar line may begin a line", "\"\"\"\nx x\n|x x\"\"\"", "\"\"\"\nx x\n| x x\"\"\""},
		{"an empty bar stays visible", `"x x || x x"`, `"x x || x x"`},
		{"what is no notation stays", `"x  y"`, `"x  y"`},
		{"escapes stay", `"x\tx"`, `"x\tx"`},
		{"nothing stays nothing", `""`, `""`},
		{"a lone bar line stays", `"|"`, `"|"`},
	} {
		assert.Equal(t, c.want, spaceNotation(c.given), c.law)
		assert.Equal(t, c.want, spaceNotation(c.want), "%s: twice", c.law)
	}
}
