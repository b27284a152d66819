package view

import (
	"bytes"
	"cmp"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strconv"
	"strings"

	"clapladder.example/assess"
	"clapladder.example/assess/internal/words"
	"clapladder.example/assess/plan"
	"clapladder.example/assess/view/internal/boxes"
	"clapladder.example/assess/view/internal/picture"
	"clapladder.example/assess/view/internal/wording"
	"clapladder.example/patterns/tierscale"
)

// Page says what a report page is about beyond the report.
type Page struct {
	// of the page, for example the group and the day; empty: "Clap warm-up". No names of people
	// belong here.
	Title string
	Date  string // of the warm-up, as people write it; may be empty
}

//go:embed page.css
var pageStyle string

//go:embed report.html
var reportTemplate string

var reportPage = template.Must(template.New("report").Parse(reportTemplate))

// HTML writes a report as one page that needs nothing else: no network, no script, no other file.
// It reads well on a phone, on paper and by a screen reader. The error is that of w, or about a
// title that can't be used.
func HTML(w io.Writer, r *assess.Report, p Page) error {
	var b bytes.Buffer
	if err := reportPage.Execute(&b, newReportModel(r, p)); err != nil {
		return fmt.Errorf("writing the page: %w", err)
	}
	_, err := w.Write(bytes.ReplaceAll(b.Bytes(), []byte(" %"), []byte("\u00a0%"))) // no line break between
	return err
}

// Widths of pictures on the page, CSS pixels.
const (
	roundWidth = 330.0
	stripWidth = 900.0
	levelWidth = 560.0
)

// reportModel is what the template shows.
type pieceModel struct{ Name, Tier, Chance string }

type reportModel struct {
	Title, About string
	Style        template.CSS
	Head         headline
	Tier, Sure   string
	Openers      []openerModel
	Pieces       []pieceModel
	Comfort      string
	Tiers        template.HTML
	Level, Pulse string
	SoFar        template.HTML // the level after every round
	SoFarRows    []soFarModel
	Unused       bool // a round does not count
	Strip        template.HTML
	Sound        bool // the strip shows the sound
	Rounds       []roundModel
	Next         string
	NextPicture  template.HTML
	Warnings     []string
	Caution      string
	Tool, Made   string
}

type openerModel struct {
	Role, Name, Tier, Chance, Why string
	Lost, LostBoxes               string // what to fall back to, and in box notation
	Main                          bool
	Picture                       template.HTML
}

type roundModel struct {
	Number             int
	Name, Tier, Result string
	Place              string
	Picture            template.HTML
	Notation           string // where there is no picture
	Errors             []errorModel
	Doubtful           bool
}

// soFarModel is a row of the table beside the picture of the level.
type soFarModel struct {
	Number                             int
	Name, Tier, Result, Level, Between string
}

type errorModel struct{ Text, Hint string }

func newReportModel(r *assess.Report, p Page) reportModel {
	style := Style{Unicode: true}
	m := reportModel{
		Title: p.Title, Style: template.CSS(pageStyle), Head: headlineOf(r), Caution: Caution, Tool: r.Tool,
		Comfort: fmt.Sprintf("%.0f %%", 100*r.Group.Comfort), Pulse: pulseAndPattern(r.Group),
	}
	m.Title = cmp.Or(m.Title, "Clap warm-up")
	m.Head.Tier = unbroken(m.Head.Tier)
	m.About = recordingText(r)
	if p.Date != "" {
		m.About = strings.TrimSuffix(p.Date+", "+m.About, ", ")
	}
	for _, o := range chosen(r.Openers) {
		m.Openers = append(m.Openers, newOpenerModel(r, o))
	}
	for _, p := range r.Pieces {
		m.Pieces = append(m.Pieces, pieceModel{p.Name, wording.TierName(p.Tier), Chance(p.Chance)})
	}
	if len(r.Group.TierProbabilities) > 0 {
		m.Tiers = template.HTML(picture.Tiers(r.Group))
	}
	if r.Group.Ability != nil {
		m.Level = wording.LevelText(r.Group)
	}
	if len(r.Rounds) > 0 && r.Recording.Duration > 0 {
		m.Strip, m.Sound = template.HTML(picture.Timeline(r, stripWidth)), r.Recording.Envelope != nil
	}
	m.soFar(r)
	for i, round := range r.Rounds {
		m.Rounds = append(m.Rounds, newRoundModel(i+1, round, style))
	}
	if n := r.NextCall; n != nil {
		m.Next = nextCallText(*n)
		m.NextPicture = notationPicture(n.Notation, n.Meter)
	}
	m.Warnings = notes(r)
	return m
}

// soFar adds how the level settled, where a level is stated at all.
func (m *reportModel) soFar(r *assess.Report) {
	// a report of an older version has no levels
	if r.Group.Ability == nil || len(r.Rounds) == 0 || r.Rounds[len(r.Rounds)-1].Level == nil {
		return
	}
	m.SoFar = template.HTML(picture.Level(r.Rounds, levelWidth))
	for i, round := range r.Rounds {
		row := soFarModel{
			Number: i + 1, Name: wording.RoundName(round),
			Tier: strconv.Itoa(tierscale.Tier(round.Difficulty)), Result: wording.RoundResult(round),
			Level: "–", Between: "–",
		}
		if round.Level != nil && round.LevelInterval != nil {
			row.Level = fmt.Sprintf("%.1f", *round.Level)
			row.Between = fmt.Sprintf("%.1f to %.1f", round.LevelInterval[0], round.LevelInterval[1])
		}
		m.SoFarRows = append(m.SoFarRows, row)
		m.Unused = m.Unused || round.Level != nil && !round.Usable
	}
}

func newOpenerModel(r *assess.Report, o assess.Opener) openerModel {
	m := openerModel{
		Role: role(o.Role), Name: title(o), Tier: wording.TierName(o.Tier), Chance: Chance(o.Chance),
		Why: wording.Capital(o.Why) + ".", Main: o.Role == plan.Main,
		Picture: notationPicture(o.Notation, o.Meter),
	}
	if f, ok := fallbackFor(r.Openers, o.Role); ok {
		m.Lost = fmt.Sprintf("%s (%s), %s", title(f), wording.TierName(f.Tier), Chance(f.Chance))
		if f.Notation != "" {
			m.Lost, m.LostBoxes = m.Lost+":", f.Notation
		}
	}
	return m
}

func newRoundModel(number int, r assess.Round, s Style) roundModel {
	m := roundModel{
		Number: number, Name: wording.RoundName(r), Tier: wording.TierName(tierscale.Tier(r.Difficulty)),
		Result: wording.Capital(wording.RoundResult(r)), Place: wording.Capital(roundPlace(r, s)),
		Doubtful: r.Response != nil && !r.Usable,
	}
	if picture, err := picture.Round(r, roundWidth); err == nil {
		m.Picture = template.HTML(picture)
	} else {
		m.Notation = r.Notation
	}
	for _, e := range shownErrors(r) {
		m.Errors = append(m.Errors, errorModel{wording.Capital(e.Text) + ".", e.Hint})
	}
	return m
}

// unbroken keeps a tier and its chance on one line: "tier 4 35 %".
func unbroken(text string) string {
	parts := strings.Split(text, ", ")
	for i, part := range parts {
		if strings.HasPrefix(part, "tier ") || strings.HasPrefix(part, "below tier ") {
			parts[i] = strings.ReplaceAll(part, " ", "\u00a0")
		}
	}
	return strings.Join(parts, ", ")
}

// notationPicture draws a phrase; empty where it can't be read.
func notationPicture(notation, meter string) template.HTML {
	p, err := boxes.Parse(notation, meter)
	if err != nil {
		return ""
	}
	return template.HTML(picture.Phrase(p, roundWidth))
}

func recordingText(r *assess.Report) string {
	var parts []string
	switch {
	case r.Recording.Format == "tally":
		parts = append(parts, "heard by ear")
	case r.Recording.Format == "taps":
		parts = append(parts, "from onset times")
	case r.Recording.Duration > 0:
		parts = append(parts, wording.Clock(r.Recording.Duration)+" minutes")
	}
	return strings.Join(append(parts, words.Count(len(r.Rounds), "round")), ", ")
}
