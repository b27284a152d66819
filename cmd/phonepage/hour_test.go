package main

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mostMemory is what an hour may take beyond the page itself, bytes.
const mostMemory = 150 << 20

// TestAnHourFromAFileKeepsWithinAPhonesMemory takes minutes, so it waits for HOUR=yes.
func TestAnHourFromAFileKeepsWithinAPhonesMemory(t *testing.T) {
	if os.Getenv("HOUR") == "" {
		t.Skip("HOUR=yes listens to an hour")
	}
	out := pages(t)
	path := filepath.Join(t.TempDir(), "hour.wav")
	seconds := writeHour(t, path)
	b := start(t, "")
	b.open(fileAddress(filepath.Join(out, "clapladder.html")))
	before := b.memory("VmRSS")
	begun := time.Now()
	b.do(chromedp.SetUploadFiles("#file", []string{path}))
	for eval[bool](b, "!("+shown+")") {
		time.Sleep(time.Second)
		require.Less(t, time.Since(begun), 20*time.Minute)
	}
	took := time.Since(begun).Seconds()
	grown := b.memory("VmHWM") - before
	t.Logf("%.0f s in %.0f s: %.0f times real time; %d MB beyond the page's %d MB",
		seconds, took, seconds/took, grown>>20, before>>20)
	assert.Less(t, grown, int64(mostMemory))
}

// writeHour writes an hour in which the demo comes every five minutes, with a quiet room in
// between. An hour without a pause has 400 rounds; its report alone takes the browser 70 MB to
// show.
func writeHour(t *testing.T, path string) (seconds float64) {
	demo, err := os.ReadFile(demoRecording)
	require.NoError(t, err)
	const header = 44
	file := bytes.Clone(demo[:header])
	rng := rand.New(rand.NewPCG(1, 1))
	for range 12 {
		start := len(file)
		file = append(file, demo[header:]...)
		for len(file)-start < 300*32000 {
			file = binary.LittleEndian.AppendUint16(file, uint16(int16(30*rng.NormFloat64())))
		}
	}
	binary.LittleEndian.PutUint32(file[4:], uint32(len(file)-8))
	binary.LittleEndian.PutUint32(file[40:], uint32(len(file)-header))
	require.NoError(t, os.WriteFile(path, file, 0o600))
	return float64(len(file)-header) / 32000
}

// memory is that of the process that shows the page, bytes, by its name in Linux's status of a
// process.
func (b *browser) memory(name string) int64 {
	b.t.Helper()
	most := int64(0)
	statuses, err := filepath.Glob("/proc/[0-9]*/status")
	require.NoError(b.t, err)
	for _, status := range statuses {
		command, err := os.ReadFile(filepath.Join(filepath.Dir(status), "cmdline"))
		if err != nil || !strings.Contains(string(command), "--type=renderer") ||
			!strings.Contains(string(command), b.profile) && !b.parent(status) {
			continue
		}
		text, err := os.ReadFile(status)
		if err != nil {
			continue
		}
		_, rest, _ := strings.Cut(string(text), name+":")
		var kB int64
		if _, err := fmt.Sscan(rest, &kB); err == nil {
			most = max(most, kB<<10)
		}
	}
	if most == 0 {
		b.t.Skip("this system does not tell a process's memory")
	}
	return most
}

// parent reports whether a process was started, at any remove, by the browser of this test.
func (b *browser) parent(status string) bool {
	for range 5 {
		text, err := os.ReadFile(status)
		if err != nil {
			return false
		}
		_, rest, _ := strings.Cut(string(text), "PPid:")
		var id int
		if _, err := fmt.Sscan(rest, &id); err != nil || id < 2 {
			return false
		}
		status = fmt.Sprintf("/proc/%d/status", id)
		command, err := os.ReadFile(fmt.Sprintf("/proc/%d/cmdline", id))
		if err == nil && strings.Contains(string(command), b.profile) {
			return true
		}
	}
	return false
}
