package musicxml_test

import (
	"encoding/xml"
	"testing"

	"github.com/stretchr/testify/require"
)

// measureXML is a written bar as another reader would take it, apart from the package's own
// reading.
type measureXML struct {
	Notes []struct {
		Rest *struct {
			Measure string `xml:"measure,attr"`
		} `xml:"rest"`
		Duration int        `xml:"duration"`
		Type     string     `xml:"type"`
		Dots     []struct{} `xml:"dot"`
		Actual   int        `xml:"time-modification>actual-notes"`
		Normal   int        `xml:"time-modification>normal-notes"`
	} `xml:"note"`
}

func measures(t *testing.T, text string) []measureXML {
	t.Helper()
	var s struct {
		Measures []measureXML `xml:"part>measure"`
	}
	require.NoError(t, xml.Unmarshal([]byte(text), &s))
	require.NotEmpty(t, s.Measures)
	return s.Measures
}
