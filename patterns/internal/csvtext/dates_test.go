package csvtext

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"clapladder.example/patterns/internal/textfile"
)

func TestMetresThatBecameDatesAreFoundAgain(t *testing.T) {
	for text, want := range map[string]string{
		"4-Apr": "4/4", "04.Apr": "4/4", "4. Apr": "4/4", "Apr 4": "4/4", "Apr-04": "4/4",
		"04.04.": "4/4", "4.4.": "4/4", "04.04": "4/4", "04.04.2026": "4/4", "2026-04-04": "4/4",
		"2026-04-04T00:00:00": "4/4", "04/04/26": "4/4", "45751": "4/4",
		"3-Apr": "3/4", "4-Mar": "3/4", "Mar 4": "3/4", "3. April": "3/4", "03/04/2026": "3/4",
		"4 mars": "3/4", "4 mrt": "3/4", "4-Mär": "3/4",
		"2-Apr": "2/4", "4-Feb": "2/4", "Feb 4": "2/4", "6-Aug": "6/8", "8-Jun": "6/8",
		"06.Aug": "6/8", "9-Aug": "9/8", "12-Aug": "12/8", "8-Dez": "12/8", "5-Apr": "5/4",
		"4-Mai": "5/4",
		"1-May": "the metre, such as 4/4",
	} {
		got, ok := MeterFromDate(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{
		"", "4/4", "7/8", "7/8=2+2+3", "5/4=3+2", "4", "4/4/", "waltz",
		"march", "C", "4 beats", "99999999999999999999", "123456", "1.5",
	} {
		_, ok := MeterFromDate(text)
		assert.False(t, ok, text)
	}
}

// Every metre that a spreadsheet can take for a date comes back from both orders of day and month,
// or, where both orders make sense (2/4 and 4/2), as the more common one. The day numbers come from
// package time, spreadsheets count from 1900.
func TestEveryMetreThatCanBeADate(t *testing.T) {
	for _, unit := range []int{2, 4, 8} {
		for count := 2; count <= 12; count++ {
			if count == 4 && unit == 2 || count == 8 {
				continue
			}
			meter := time.Month(count).String()[:3]
			want := itoa(count) + "/" + itoa(unit)
			got, ok := MeterFromDate(itoa(unit) + "-" + meter) // month first: month/day
			if count != 4 && count != 2 {
				assert.True(t, ok)
				assert.Equal(t, want, got)
			}
			got, ok = MeterFromDate(itoa(count) + "-" + time.Month(unit).String()[:3]) // day first
			if count != 8 {
				assert.True(t, ok)
				assert.Equal(t, want, got)
			}
			day := time.Date(2026, time.Month(unit), count, 0, 0, 0, 0,
				time.UTC).Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24
			got, ok = MeterFromDate(itoa(int(day)))
			assert.True(t, ok)
			assert.Equal(t, want, got, day)
		}
	}
}

func itoa(n int) string { return textfile.Number(float64(n)) }
