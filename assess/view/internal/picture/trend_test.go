package picture

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTwoOfOneDayStandSideBySide(t *testing.T) {
	day := func(d int) time.Time { return time.Date(2025, 3, d, 12, 0, 0, 0, time.UTC) }
	days := trendDays([]Point{
		{day(4), 3, 2, 4}, {day(11), 3.4, 2.6, 4.1}, {day(11).Add(time.Hour), 4, 3.1, 5},
	}, 720)
	require.Len(t, days, 2)
	assert.Equal(t, beside, days[1].place(1)-days[1].place(0))
	assert.InDelta(t, days[1].at, (days[1].place(0)+days[1].place(1))/2, 1e-9)
}
