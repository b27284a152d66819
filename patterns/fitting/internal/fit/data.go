package fit

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"clapladder.example/patterns/internal/features"
	"clapladder.example/rhythm"
)

// Item is one phrase with what is known about it.
type Item struct {
	ID       string          // in its data set
	Phrase   rhythm.Phrase   // at the tempo of the experiment
	Features features.Values // of the phrase
	Value    float64         // rating, index or percent, by the data set
	Group    string          // category, condition or class
	Step     int             // step of the teaching ladder
}

// Result is how people did who clapped a phrase back once.
type Result struct {
	Item
	Tried, Passed float64 // people
	Grade         float64 // mean of graders, 1 completely off to 4 perfect
	GradeSE       float64 // standard error of Grade; 0 where not known
}

// Step is one step of a published teaching sequence with the classes of content that it adds.
type Step struct {
	Sequence string   // name of the sequence
	Number   int      // from 1
	Classes  []string // of content, see Contents
}

// Data is everything a fit may use.
type Data struct {
	Results  []Result // may be empty
	Ratings  []Item   // Povel and Essens 1985: Value is the mean rating, Group the category
	Later    []Item   // Essens 1995: Value is the mean rating; for checking only
	Index    []Item   // Fitch and Rosenfeld 2007: Value is the index; for checking only
	Metric   []Item   // Grahn and Brett 2007: Value is the percentage of the condition, Group the condition
	Teaching []Item   // Group is the class, Step the step of the merged ladder
	Steps    []Step   // published sequences
}

// ReadFolder reads the public data sets from a folder.
func ReadFolder(folder string) (*Data, error) {
	d := &Data{}
	files := []struct {
		name string
		read func(row) error
	}{
		{"povel_essens_1985.csv", func(r row) error {
			return r.item(&d.Ratings, r.get("pattern"), "4/4", 75, "mean", "category")
		}},
		{"essens_1995.csv", func(r row) error {
			return r.item(&d.Later, r.get("pattern"), "4/4", 75, "mean", "")
		}},
		{"fitch_rosenfeld_2007.csv", func(r row) error {
			return r.item(&d.Index, r.get("pattern"), "4/4", rhythm.DefaultTempo, "index", "")
		}},
		{"grahn_brett_2007.csv", func(r row) error {
			// Beats of four units of about 245 ms, and the closing tone on the next first beat.
			return r.item(&d.Metric, r.get("pattern")+"|x...........", "3/4", 60/(4*0.245),
				"percent", "condition")
		}},
		{"teaching_phrases.csv", func(r row) error {
			err := r.item(&d.Teaching, r.get("rhythm"), r.get("meter"), rhythm.DefaultTempo, "", "class")
			if err != nil {
				return err
			}
			step, err := strconv.Atoi(r.get("step"))
			d.Teaching[len(d.Teaching)-1].Step = step
			return err
		}},
		{"teaching_sequences.csv", func(r row) error {
			number, err := strconv.Atoi(r.get("step"))
			if err != nil {
				return err
			}
			last := len(d.Steps) - 1
			if last < 0 || d.Steps[last].Sequence != r.get("sequence") || d.Steps[last].Number != number {
				d.Steps = append(d.Steps, Step{Sequence: r.get("sequence"), Number: number})
				last++
			}
			d.Steps[last].Classes = append(d.Steps[last].Classes, r.get("class"))
			return nil
		}},
	}
	for _, f := range files {
		if err := readRows(filepath.Join(folder, f.name), f.read); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// ReadResults reads results of people from a CSV file with the columns id, n_perf (people), n_pass,
// mean_grade (1 to 4), se_grade (its standard error, may be missing), metre_inferred, grid16 (one
// character a sixteenth) and eighth_ms_median (milliseconds).
func ReadResults(file string) ([]Result, error) {
	var results []Result
	err := readRows(file, func(r row) error {
		meter := strings.TrimSuffix(r.get("metre_inferred"), "?")
		m, err := rhythm.ParseMeter(meter)
		if err != nil {
			return err
		}
		bar := m.Count() * 16 / m.Unit()
		tempo := 60000 / (2 * r.number("eighth_ms_median") * m.TempoQuarters())
		var items []Item
		if err := r.item(&items, inBars(r.get("grid16"), bar), meter, tempo, "", ""); err != nil {
			return err
		}
		items[0].ID = r.get("id")
		se := 0.0
		if r.get("se_grade") != "" {
			se = r.number("se_grade")
		}
		results = append(results, Result{
			Item: items[0], Tried: r.number("n_perf"), Passed: r.number("n_pass"),
			Grade:   r.number("mean_grade"),
			GradeSE: se,
		})
		return nil
	})
	return results, err
}

// inBars cuts a run of boxes into bars and fills the last with silence.
func inBars(run string, bar int) string {
	run += strings.Repeat(".", (bar-len(run)%bar)%bar)
	var bars []string
	for ; len(run) > 0; run = run[bar:] {
		bars = append(bars, run[:bar])
	}
	return strings.Join(bars, "|")
}

// row is one line of a CSV file by the names of its columns.
type row struct {
	columns map[string]int
	cells   []string
	bad     *error // the first cell that is no number
}

func (r row) get(column string) string {
	if i, ok := r.columns[column]; ok && i < len(r.cells) {
		return strings.TrimSpace(r.cells[i])
	}
	return ""
}

func (r row) number(column string) float64 {
	v, err := strconv.ParseFloat(r.get(column), 64)
	if err != nil && *r.bad == nil {
		*r.bad = fmt.Errorf("column %s: %q is not a number", column, r.get(column))
	}
	return v
}

func (r row) item(to *[]Item, notation, meter string, tempo float64, value, group string) error {
	m, err := rhythm.ParseMeter(meter)
	if err != nil {
		return err
	}
	p, err := rhythm.Parse(notation, m, tempo)
	if err != nil {
		return fmt.Errorf("%q: %w", notation, err)
	}
	item := Item{ID: r.get("no"), Phrase: p, Features: features.Of(p)}
	if value != "" {
		item.Value = r.number(value)
	}
	if group != "" {
		item.Group = r.get(group)
	}
	*to = append(*to, item)
	return nil
}

func readRows(file string, read func(row) error) error {
	data, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	reader := csv.NewReader(bytes.NewReader(data))
	reader.Comment = '#'
	records, err := reader.ReadAll()
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	if len(records) < 2 {
		return fmt.Errorf("%s: no rows", file)
	}
	columns := map[string]int{}
	for i, name := range records[0] {
		columns[strings.TrimSpace(name)] = i
	}
	for i, cells := range records[1:] {
		var bad error
		err := read(row{columns, cells, &bad})
		if err == nil {
			err = bad
		}
		if err != nil {
			return fmt.Errorf("%s: row %d: %w", file, i+1, err)
		}
	}
	return nil
}
