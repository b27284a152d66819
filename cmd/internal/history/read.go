package history

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"strings"
)

// Contents is what a log holds.
type Contents struct {
	Records  []Record  // in the order of the file, without those that were removed or taken back
	Notes    []Note    // likewise
	Outcomes []Outcome // likewise
	Problems []Problem // lines that were skipped, in order
}

// Problem is a line that was skipped.
type Problem struct {
	Line  int    // from 1
	Newer bool   // written by a newer version; otherwise damaged
	Text  string // what is wrong
}

// String is one line.
func (p Problem) String() string { return fmt.Sprintf("line %d: %s", p.Line, p.Text) }

// mostProblems is how many lines may be damaged; with more it is no history.
const mostProblems = 10_000

// Read returns every record that can be read and a problem for every line that
// can't. A log that does not exist is empty. The error is about the file as a whole:
// it wraps [ErrNoHistory] where more than 10,000 lines can't be read.
func (l *Log) Read(ctx context.Context) (*Contents, error) {
	if err := l.checkKind(); err != nil {
		return nil, err
	}
	f, err := os.Open(l.path)
	if errors.Is(err, fs.ErrNotExist) {
		return &Contents{}, nil
	}
	if err != nil {
		return nil, fmt.Errorf("opening the history: %w", err)
	}
	f.Close()
	// Without the lock a record that is just being written would look damaged. Where
	// no lock can be had, as on a disk that can't be written to, reading goes on.
	release, err := acquire(ctx, l.path+".lock", false, l.wait)
	switch {
	case err == nil:
		defer release()
	case errors.Is(err, ErrBusy), ctx.Err() != nil:
		return nil, err
	}
	// Opened again: the file may have been replaced before the lock was had.
	if f, err = os.Open(l.path); err != nil {
		return nil, fmt.Errorf("opening the history: %w", err)
	}
	defer f.Close()
	return ReadFrom(ctx, f)
}

// ReadFrom reads a log from r, as [Log.Read] does. The error is that of r or of
// the context.
func ReadFrom(ctx context.Context, r io.Reader) (*Contents, error) {
	lines, problems, err := readLines(ctx, r)
	if err != nil {
		return nil, err
	}
	c := lines.contents()
	c.Problems = problems
	return c, nil
}

// readLines reads every line that can be read.
func readLines(ctx context.Context, r io.Reader) (*lineLog, []Problem, error) {
	var lines lineLog
	known := map[written]bool{}
	var problems []Problem
	err := eachLine(ctx, r, func(number int, text []byte, whole bool) error {
		if len(bytes.TrimSpace(text)) == 0 {
			return nil
		}
		record, e, problem := decodeKnowing(known, text, whole)
		if problem != nil {
			if len(problems) == mostProblems {
				return ErrNoHistory
			}
			problem.Line = number
			problems = append(problems, *problem)
			return nil
		}
		x := line{key: keyOf(text), record: record}
		if record != nil {
			record.Line = number
		} else {
			x.entry = *e
		}
		lines.add(x)
		return nil
	})
	if err != nil {
		return nil, nil, fmt.Errorf("reading the history: %w", err)
	}
	return &lines, problems, nil
}

// eachLine calls do for every line, without its line break. Of a line longer than
// maxLine only the beginning is given, and whole is false. The slice is
// valid during the call only.
func eachLine(ctx context.Context, r io.Reader, do func(number int, line []byte, whole bool) error) error {
	reader := bufio.NewReaderSize(r, 64<<10)
	var line []byte
	for number := 1; ; number++ {
		if err := ctx.Err(); err != nil {
			return err
		}
		line = line[:0]
		whole := true
		var err error
		for {
			var piece []byte
			piece, err = reader.ReadSlice('\n')
			if room := maxLine - len(line); len(piece) > room {
				piece, whole = piece[:room], false
			}
			line = append(line, piece...)
			if !errors.Is(err, bufio.ErrBufferFull) {
				break
			}
		}
		if err != nil && !errors.Is(err, io.EOF) {
			return err
		}
		if len(line) > 0 {
			if doErr := do(number, bytes.TrimSuffix(line, []byte{'\n'}), whole); doErr != nil {
				return doErr
			}
		}
		if err != nil {
			return nil
		}
	}
}

// decode reads a line. Exactly one of the results is not nil.
func decode(line []byte, whole bool) (*Record, *entry, *Problem) {
	return decodeKnowing(map[written]bool{}, line, whole)
}

// decodeKnowing is decode with the notations that were read before.
func decodeKnowing(known map[written]bool, line []byte, whole bool) (*Record, *entry, *Problem) {
	bad := func(format string, args ...any) (*Record, *entry, *Problem) {
		return nil, nil, &Problem{Text: "skipped: " + fmt.Sprintf(format, args...)}
	}
	if !whole {
		return bad("longer than %d bytes, which no record is", maxLine)
	}
	var head struct {
		Schema string `json:"schema"`
		Kind   string `json:"kind"`
	}
	// What this version writes of a warm-up begins like this, and needs no look ahead.
	if bytes.HasPrefix(line, []byte(usualBeginning)) {
		head.Schema = SchemaName
	} else if err := json.Unmarshal(line, &head); err != nil {
		return bad("damaged, perhaps cut off while it was written")
	}
	version, err := strconv.Atoi(strings.TrimPrefix(head.Schema, schemaPrefix))
	switch {
	case err != nil || !strings.HasPrefix(head.Schema, schemaPrefix) || version < 1:
		return bad("not a record of a warm-up")
	case version > schemaVersion:
		return nil, nil, &Problem{
			Newer: true,
			Text:  fmt.Sprintf("skipped: written by a newer version of the program (%s)", head.Schema),
		}
	case head.Kind != "" && !slices.Contains(kinds, head.Kind):
		return nil, nil, &Problem{
			Newer: true,
			Text:  fmt.Sprintf("skipped: written by a newer version of the program (kind %q)", head.Kind),
		}
	case head.Kind != "":
		var e entry
		if err := json.Unmarshal(line, &e); err != nil {
			return bad("a field holds something else than it should")
		}
		if problem := e.problem(); problem != "" {
			return bad("%s", problem)
		}
		return nil, &e, nil
	}
	var r Record
	if err := json.Unmarshal(line, &r); err != nil {
		if !json.Valid(line) {
			return bad("damaged, perhaps cut off while it was written")
		}
		return bad("a field holds something else than it should")
	}
	if err := r.check(known); err != nil {
		return bad("%s", err.Error())
	}
	return &r, nil, nil
}

const usualBeginning = `{"schema":"` + SchemaName + `","group":`
