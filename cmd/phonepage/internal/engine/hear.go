package engine

import (
	"context"
	"io"

	"clapladder.example/assess"
)

// sound says what is coming in.
type sound struct {
	Rate   int `json:"rate"`   // samples a second
	People int `json:"people"` // in the group; 0 unknown
}

// listen begins to listen live; what was heard before is let go.
func (e *Engine) listen(s sound) (any, error) {
	l, err := assess.NewListener(s.Rate, e.bank, e.options(s.People))
	if err != nil {
		return nil, err
	}
	e.listener = l
	return sofarOf(nil), nil
}

// Hear takes the next samples from the microphone and returns an answer as Ask does where there is
// news, otherwise an empty string.
func (e *Engine) Hear(samples []float32) string {
	if e.check != nil {
		if state := e.check.hear(samples); state != nil {
			return encode(state, nil)
		}
		return ""
	}
	if e.listener == nil {
		return ""
	}
	report, err := e.listener.Write(context.Background(), samples)
	if err != nil {
		return encode(nil, err)
	}
	if report == nil {
		return ""
	}
	return encode(e.sofar(report), nil)
}

// stop ends listening, or the check of the level, and reports.
func (e *Engine) stop(struct{}) (any, error) {
	if e.check != nil {
		e.check = nil
		return nil, nil
	}
	if e.listener == nil {
		return nil, &Problem{"nothing is being listened to", "press Listen first"}
	}
	l := e.listener
	e.listener = nil
	return e.finished(l.Finish(context.Background()))
}

// File listens to a recording and answers as Ask does.
func (e *Engine) File(r io.Reader, people int) string {
	return encode(e.finished(assess.Recording(context.Background(), r, e.bank, e.options(people))))
}

// finished keeps a report and says what it amounts to.
func (e *Engine) finished(report *assess.Report, err error) (any, error) {
	if err != nil {
		return nil, err
	}
	e.report = report
	return e.sofar(report), nil
}
