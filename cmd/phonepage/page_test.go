package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess"
	"clapladder.example/assess/view"
	"clapladder.example/patterns/bank"
)

func demoReport(t *testing.T) *assess.Report {
	f, err := os.Open(demoRecording)
	require.NoError(t, err)
	defer f.Close()
	report, err := assess.Recording(t.Context(), f, bank.Starter(), assess.Options{Repertoire: bank.StarterRepertoire()})
	require.NoError(t, err)
	return report
}

func TestAFileFromThePhoneGivesTheReportOfTheCommandLine(t *testing.T) {
	out := pages(t)
	b := start(t, "")
	address := fileAddress(filepath.Join(out, "clapladder.html"))
	b.open(address + "#recording")
	b.do(chromedp.SetUploadFiles("#file", []string{demoPath(t)}))
	b.until(`document.getElementById("report-frame").contentDocument?.querySelector(".tier") != null`)
	want := demoReport(t)
	tier := eval[string](b, `document.getElementById("report-frame").contentDocument.querySelector(".tier").innerText`)
	require.NotNil(t, want.Group.Tier)
	assert.Contains(t, tier, fmt.Sprintf("Tier %d", *want.Group.Tier))
	assert.Contains(t, strings.ReplaceAll(tier, "\u00a0", " "), view.Chance(want.Group.TierProbabilities[*want.Group.Tier-1]))
	b.see("report-390")
	b.quiet(address)
}
