package assess

import (
	"math/rand/v2"
	"os"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"clapladder.example/assess/audio"
	"clapladder.example/patterns/bank"
)

// mostPerHour is what an hour of live listening may add: 4 bytes for every millisecond, and the
// rounds.
const mostPerHour = 24 << 20

// TestHoursOfListeningAddOnlyWhatIsKept feeds a Listener hours of warm-ups, one after another, in
// pieces of any size: HOURS=4 go test -run HoursOf -v -timeout 0 ./assess. What is in use is told at
// each hour.
func TestHoursOfListeningAddOnlyWhatIsKept(t *testing.T) {
	hours, err := strconv.Atoi(os.Getenv("HOURS"))
	if err != nil || hours < 1 {
		t.Skip("HOURS says how many")
	}
	demo, err := os.ReadFile("../testdata/boatyard-lunch.wav")
	require.NoError(t, err)
	sound := samplesOf(demo[44:])
	o := Options{Repertoire: bank.StarterRepertoire()}
	listener, err := NewListener(audio.Rate, bank.Starter(), o)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(4, 4))
	inUse := func() uint64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	before := inUse()
	news, at := 0, 0
	for hour := range hours {
		for left := 3600*audio.Rate - hour; left > 0; {
			n := min(left, 1+rng.IntN(audio.Rate), len(sound)-at)
			report, err := listener.Write(t.Context(), sound[at:at+n])
			require.NoError(t, err)
			if report != nil {
				news++
			}
			at, left = (at+n)%len(sound), left-n
		}
		now := inUse()
		t.Logf("hour %d: %d reports so far, %.1f MB in use, %s resident", hour+1, news,
			float64(now)/1e6, resident())
		assert.LessOrEqual(t, now, before+mostPerHour)
		before = max(before, now)
	}
	report, err := listener.Finish(t.Context())
	require.NoError(t, err)
	assert.Greater(t, len(report.Rounds), 8*hours*3600/80)
	t.Logf("%d rounds at the end, %s resident at most", len(report.Rounds), residentMost())
}

// resident and residentMost are the process's memory as the system counts it, where that can be
// had.
func resident() string     { return statusLine("VmRSS:") }
func residentMost() string { return statusLine("VmHWM:") }

func statusLine(name string) string {
	status, _ := os.ReadFile("/proc/self/status")
	for line := range strings.Lines(string(status)) {
		if rest, ok := strings.CutPrefix(line, name); ok {
			return strings.TrimSpace(rest)
		}
	}
	return "unknown"
}
