package csvtext

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// MeterFromDate recognises what spreadsheets make of a metre typed into a cell that is not text:
// "4-Apr", "04.Apr", "Apr 4", "04/04/2026", "2026-04-04", or the number of a day. meant is the
// metre that was typed, as far as can be told.
func MeterFromDate(text string) (meant string, ok bool) {
	text = strings.TrimSpace(text)
	if len(text) > 10 && text[10] == 'T' { // 2026-04-04T00:00:00
		text = text[:10]
	}
	parts := strings.FieldsFunc(text,
		func(r rune) bool { return strings.ContainsRune("-./ :,", r) })
	var numbers []int
	month := 0
	for _, part := range parts {
		if n, err := strconv.Atoi(part); err == nil {
			numbers = append(numbers, n)
		} else if m := monthNamed(part); m > 0 && month == 0 {
			month = m
		} else {
			return "", false
		}
	}
	switch {
	case month > 0 && len(numbers) >= 1 && len(numbers) <= 2:
		return meterFrom(numbers[0], month)
	case month > 0:
		return "", false
	case len(numbers) >= 3 && numbers[0] > 1000: // year first
		return meterFrom(numbers[2], numbers[1])
	case len(numbers) >= 3:
		return meterFrom(numbers[0], numbers[1])
	// 04.04 or 4.4.
	case len(numbers) == 2 && (len(text) == 5 && text[2] == '.' || strings.HasSuffix(text, ".")):
		return meterFrom(numbers[0], numbers[1])
	// days since 1900, the years 2000 to 2099
	case len(numbers) == 1 && numbers[0] >= 36526 && numbers[0] <= 73050:
		day := time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, numbers[0])
		return meterFrom(day.Day(), int(day.Month()))
	}
	return "", false
}

// meterFrom is the metre that gives this day and month, in whichever order makes a note value
// below.
func meterFrom(day, month int) (string, bool) {
	if day < 1 || day > 31 || month < 1 || month > 31 {
		return "", false
	}
	value := func(n int) bool { return n == 2 || n == 4 || n == 8 }
	switch {
	case value(month) && !(value(day) && day > month):
		return fmt.Sprintf("%d/%d", day, month), true
	case value(day):
		return fmt.Sprintf("%d/%d", month, day), true
	}
	return `the metre, such as 4/4`, true
}

// monthNamed is 1 to 12 for the beginning of a month's name in English, German, French, Spanish,
// Italian or Dutch, else 0.
func monthNamed(text string) int {
	text = strings.ToLower(strings.TrimRightFunc(text, unicode.IsPunct))
	starts := [12][]string{
		{"jan", "ene", "gen"},
		{"feb", "fév", "fev"},
		{"mar", "mär", "maa", "mrz", "mrt"},
		{"apr", "avr", "abr"},
		{"may", "mai", "mei", "mag"},
		{"jun", "juin", "giu"},
		{"jul", "juil", "lug"},
		{"aug", "aoû", "aou", "ago"},
		{"sep", "set"},
		{"oct", "okt", "ott"},
		{"nov"},
		{"dec", "dez", "déc", "dic"},
	}
	for month, names := range starts {
		for _, name := range names {
			if strings.HasPrefix(text, name) && len([]rune(text)) <= 12 {
				return month + 1
			}
		}
	}
	return 0
}
