package bank

// valueKind is the type of a value in a file.
type valueKind uint8

const (
	textValue   valueKind = iota
	wholeValue            // 3
	numberValue           // 96.5
	boolValue
	dateValue
	listValue
	tableValue
	cellValue // a cell of a CSV file, which may stand for any of them
)

// value is what stands after a key, or in a cell.
type value struct {
	kind       valueKind
	text       string // the text without quotes and escapes; as written for numbers, dates and truth values
	start, end int    // offsets in the source, quotes included
	list       []value
	table      *table
}

// field is a key with its value.
type field struct {
	key   string // parts of a dotted key joined by "."
	at    int    // offset of the key
	value value
}

// table is the fields below one header, or one row of a CSV file.
type table struct {
	name   string // parts of the header joined by "."; empty for what stands before the first header
	many   bool   // [[name]], not [name]
	at     int    // offset of the header
	fields []field
	lost   map[string]bool // keys on lines that could not be read
}

func (t *table) field(key string) (field, bool) {
	for _, f := range t.fields {
		if f.key == key {
			return f, true
		}
	}
	return field{}, false
}

// lose notes that the key stands on a line that could not be read.
func (t *table) lose(key string) {
	if t.lost == nil {
		t.lost = map[string]bool{}
	}
	t.lost[key] = true
}
