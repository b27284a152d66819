package textfile

// Kind is the type of a value in a file.
type Kind uint8

// The types of a value.
const (
	Text    Kind = iota
	Whole        // 3
	Decimal      // 96.5
	Bool         // true or false
	Date         // or a time
	List         // of values
	Nested       // a table in braces
	Cell         // a cell of a CSV file, which may stand for any of them
)

// Words name the kind in a message.
func (k Kind) Words() string {
	return [...]string{
		"a text", "a number", "a number", "true or false", "a date or a time",
		"a list", "a table", "a cell",
	}[k]
}

// Value is what stands after a key, or in a cell.
type Value struct {
	Kind       Kind    // its type
	Text       string  // without quotes and escapes; as written for numbers, dates, truth values
	Start, End int     // offsets in the source, quotes included
	List       []Value // of a list
	Table      *Table  // of a table in braces
}

// Field is a key with its value.
type Field struct {
	Key   string // parts of a dotted key joined by "."
	At    int    // offset of the key
	Value Value  // what stands after it
}

// Table is the fields below one header, or one row of a CSV file.
type Table struct {
	Name   string          // parts of the header joined by "."; empty for what stands before the first header
	Many   bool            // [[name]], not [name]
	At     int             // offset of the header
	Fields []Field         // in the order of the file
	Lost   map[string]bool // keys on lines that could not be read
}

// Field finds the first field with a key.
func (t *Table) Field(key string) (Field, bool) {
	for _, f := range t.Fields {
		if f.Key == key {
			return f, true
		}
	}
	return Field{}, false
}

// Lose notes that the key stands on a line that could not be read.
func (t *Table) Lose(key string) {
	if t.Lost == nil {
		t.Lost = map[string]bool{}
	}
	t.Lost[key] = true
}
