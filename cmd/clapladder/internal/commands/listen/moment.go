package listen

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// moment is a time in a recording, in seconds, written as seconds or as minutes and seconds: "95",
// "1:35" or "1:02:05".
type moment float64

// mostSeconds is a day: longer than any recording that is taken.
const mostSeconds = 24 * 60 * 60

// UnmarshalText reads a moment.
func (m *moment) UnmarshalText(text []byte) error {
	parts := strings.Split(string(text), ":")
	seconds := 0.0
	for i, part := range parts {
		x, err := strconv.ParseFloat(part, 64)
		whole := i == len(parts)-1 || x == math.Trunc(x)
		if err != nil || len(parts) > 3 || !(x >= 0) || !whole || i > 0 && x >= 60 {
			return fmt.Errorf("%q is no time in a recording; write seconds or minutes and "+
				"seconds, such as 95 or 1:35", text)
		}
		seconds = 60*seconds + x
	}
	if seconds > mostSeconds {
		return fmt.Errorf("%q is longer than a day", text)
	}
	*m = moment(seconds)
	return nil
}
