package view

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"iter"
	"math"
	"regexp"
	"strconv"
)

// decimals is how many places after the point JSON numbers keep: a tenth of a millisecond, a
// hundredth of a per cent.
const decimals = 4

// JSON writes a value as encoding/json does, for people and programs: indented by two spaces,
// numbers rounded to four decimals, characters such as < and & as they are, a line break at the
// end. Infinite numbers and NaN are an error.
func JSON(w io.Writer, value any) error {
	text, err := indented(value, "")
	if err == nil {
		_, err = w.Write(append(text, '\n'))
	}
	return err
}

// JSONList writes a list as [JSON] does, one value at a time, so that a list of many thousands
// takes no more memory than its longest value.
func JSONList[T any](w io.Writer, values iter.Seq[T]) error {
	separator := "["
	for value := range values {
		text, err := indented(value, "  ")
		if err != nil {
			return err
		}
		if _, err := fmt.Fprintf(w, "%s\n  %s", separator, text); err != nil {
			return err
		}
		separator = ","
	}
	end := "\n]\n"
	if separator == "[" {
		end = "[]\n"
	}
	_, err := io.WriteString(w, end)
	return err
}

// indented is a value as JSON, its further lines behind prefix.
func indented(value any, prefix string) ([]byte, error) {
	var compact, out bytes.Buffer
	encoder := json.NewEncoder(&compact)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		return nil, fmt.Errorf("writing JSON: %w", err)
	}
	err := json.Indent(&out, rounded(bytes.TrimSpace(compact.Bytes())), prefix, "  ")
	return out.Bytes(), err
}

// textOrFraction finds every text, so that what looks like a number in it is left alone, and every
// number that is not whole.
var textOrFraction = regexp.MustCompile(`"(?:[^"\\]|\\.)*"|-?\d+(?:\.\d+)?(?:[eE][-+]?\d+)|-?\d+\.\d+`)

// rounded rounds the numbers in JSON.
func rounded(text []byte) []byte {
	return textOrFraction.ReplaceAllFunc(text, func(part []byte) []byte {
		x, err := strconv.ParseFloat(string(part), 64)
		if err != nil || math.Abs(x) >= 1e15 {
			return part
		}
		short := strconv.AppendFloat(nil, x, 'f', decimals, 64)
		short = bytes.TrimRight(bytes.TrimRight(short, "0"), ".")
		if string(short) == "-0" {
			return []byte("0")
		}
		return short
	})
}
