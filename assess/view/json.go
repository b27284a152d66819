package view

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"iter"
	"math"
	"strconv"
	"strings"
)

// decimals is how many places after the point JSON numbers keep: a tenth of a millisecond, a
// hundredth of a per cent.
const decimals = 4

// JSON writes a value as encoding/json does, for people and programs: indented by two spaces, lists
// of plain values on one line, numbers rounded to four decimals, characters such as < and & as they
// are, a line break at the end. Infinite numbers and NaN are an error.
func JSON(w io.Writer, value any) error {
	text, err := laidOut(value, 0)
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
		text, err := laidOut(value, 1)
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

// laidOut is a value as JSON, its further lines indented by depth steps.
func laidOut(value any, depth int) ([]byte, error) {
	var compact bytes.Buffer
	encoder := json.NewEncoder(&compact)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(value); err != nil {
		return nil, fmt.Errorf("writing JSON: %w", err)
	}
	decoder := json.NewDecoder(&compact)
	decoder.UseNumber()
	p := printer{decoder: decoder}
	if err := p.value(depth); err != nil {
		return nil, fmt.Errorf("writing JSON: %w", err)
	}
	return p.out.Bytes(), nil
}

// printer lays out a stream of JSON tokens.
type printer struct {
	decoder *json.Decoder
	out     bytes.Buffer
}

// value copies the next value; the cursor stands where it begins, and further lines are indented by
// depth steps.
func (p *printer) value(depth int) error {
	token, err := p.decoder.Token()
	if err != nil {
		return err
	}
	switch token {
	case json.Delim('{'):
		return p.object(depth)
	case json.Delim('['):
		return p.list(depth)
	}
	return p.scalar(token)
}

func (p *printer) object(depth int) error {
	if !p.decoder.More() {
		p.out.WriteString("{}")
		return p.end()
	}
	p.out.WriteByte('{')
	for i := 0; p.decoder.More(); i++ {
		if i > 0 {
			p.out.WriteByte(',')
		}
		p.line(depth + 1)
		key, err := p.decoder.Token()
		if err != nil {
			return err
		}
		if err := p.scalar(key); err != nil {
			return err
		}
		p.out.WriteString(": ")
		if err := p.value(depth + 1); err != nil {
			return err
		}
	}
	p.line(depth)
	p.out.WriteByte('}')
	return p.end()
}

// list puts plain values on one line and others below each other.
func (p *printer) list(depth int) error {
	p.out.WriteByte('[')
	start, plain, n := p.out.Len(), true, 0
	for ; p.decoder.More(); n++ {
		if n > 0 {
			p.out.WriteByte(',')
		}
		before := p.out.Len()
		p.line(depth + 1)
		at := p.out.Len()
		if err := p.value(depth + 1); err != nil {
			return err
		}
		first := p.out.Bytes()[at]
		plain = plain && first != '{' && first != '['
		if plain { // take the line break back
			text := bytes.Clone(p.out.Bytes()[at:])
			p.out.Truncate(before)
			if n > 0 {
				p.out.WriteByte(' ')
			}
			p.out.Write(text)
		}
	}
	if n > 0 && !plain && p.out.Bytes()[start] == '\n' {
		p.line(depth)
	}
	p.out.WriteByte(']')
	return p.end()
}

// end takes the closing delimiter.
func (p *printer) end() error {
	_, err := p.decoder.Token()
	return err
}

func (p *printer) line(depth int) {
	p.out.WriteByte('\n')
	p.out.WriteString(strings.Repeat("  ", depth))
}

func (p *printer) scalar(token json.Token) error {
	if n, ok := token.(json.Number); ok {
		p.out.WriteString(roundNumber(n.String()))
		return nil
	}
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(token); err != nil {
		return err
	}
	p.out.Write(bytes.TrimRight(b.Bytes(), "\n"))
	return nil
}

// roundNumber rounds a JSON number that is not whole.
func roundNumber(text string) string {
	if !strings.ContainsAny(text, ".eE") {
		return text
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || math.Abs(x) >= 1e15 {
		return text
	}
	rounded := strconv.FormatFloat(x, 'f', decimals, 64)
	rounded = strings.TrimRight(strings.TrimRight(rounded, "0"), ".")
	if rounded == "-0" {
		return "0"
	}
	return rounded
}
