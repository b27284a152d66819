package rounds

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"clapladder.example/assess/internal/transcribe"
	"clapladder.example/rhythm"
)

// invented draws phrases of one or two bars at tempos around that of the warm-up, many of which
// begin alike.
func invented(rng *rand.Rand, n int) []Template {
	beats := []string{"x", ".", "xx", ".x", "x..x", "x.xx", "xxx."}
	var out []Template
	for i := range n {
		var bars []string
		for range 1 + rng.IntN(2) {
			var bar []string
			for range 4 {
				bar = append(bar, beats[rng.IntN(len(beats))])
			}
			bars = append(bars, strings.Join(bar, " "))
		}
		p, err := rhythm.Parse(strings.Join(bars, " | "), rhythm.MustParseMeter("4/4"),
			70+float64(rng.IntN(60)))
		if err == nil {
			out = append(out, Template{fmt.Sprint("invented-", i), p})
		}
	}
	return out
}

func newTestMatcher(p *pass) *matcher {
	m := newMatcher(p, newWorth(p))
	return &m
}

// oneByOne tries every template from attack i to every last note, without giving any up: what the
// prefix tree must come to.
func oneByOne(m *matcher, i int) []proposal {
	var all []proposal
	m.first = i
	for t := range m.templates {
		t := &m.templates[t]
		top := proposal{earned: leastCall}
		for last := i + 1; last < len(m.attacks) && len(t.shares) >= 2; last++ {
			seconds := m.attacks[last].Time - m.attacks[i].Time
			ratio := seconds / t.span
			if !m.mayBound(last) || t.shortest*ratio < shortestSecond ||
				ratio < 1/transcribe.Fastest || ratio > 1/transcribe.Slowest {
				continue
			}
			reach := min(max(matchShare*t.shortest*ratio, shortestMatch), longestMatch)
			matched, met, earned := []int{i}, 1, m.worth.note[i]
			for _, share := range t.shares[1:] {
				at := m.attacks[i].Time + share*seconds
				k := m.nearest.Index(at, reach)
				if k < 0 || slices.Contains(matched, k) {
					matched = append(matched, -1)
					earned -= m.missing(&m.near, at)
					continue
				}
				late := (m.attacks[k].Time - at) / timingSD
				earned += m.worth.note[k] - min(late*late/2, 3)
				matched, met = append(matched, k), met+1
			}
			if met < 2 {
				continue
			}
			level := m.callLevel(matched)
			earned -= m.tempoCosts(math.Log(seconds)-t.expected) + m.levelCosts(level)
			if t.silentStart {
				earned -= transcribe.SilentStart
			}
			m.last = last
			m.seconds = seconds
			if earned -= m.uneven(t, matched) + m.strays(t, matched, level); earned > top.earned {
				top = proposal{template: t.index, earned: earned, matched: matched}
			}
		}
		if top.matched != nil {
			all = append(all, top)
		}
	}
	slices.SortStableFunc(all, func(a, b proposal) int { return cmp.Compare(b.earned, a.earned) })
	return all[:min(len(all), keepPerStart)]
}

func TestTheTreeFindsWhatTryingEveryTemplateFinds(t *testing.T) {
	templates := append(demoTemplates(), invented(rand.New(rand.NewPCG(3, 4)), 120)...)
	for name, w := range map[string]warmUp{"seamless": seamless(), "paused": paused()} {
		for _, o := range []Options{{}, {Tempo: 96}} {
			t.Run(fmt.Sprintf("%s, tempo %v", name, o.Tempo), func(t *testing.T) {
				p := firstPass(newRecording(w.analysis), newBook(templates, o.Tempo))
				compared := 0
				compare := func() {
					m := newTestMatcher(p)
					for i := range p.attacks {
						want := oneByOne(newTestMatcher(p), i)
						got := m.from(i)
						require.Len(t, got, len(want), "attack %d", i)
						for k := range want {
							require.InDelta(t, want[k].earned, got[k].earned, 1e-9,
								"attack %d, place %d", i, k)
							require.Equal(t, want[k].matched, got[k].matched, "attack %d, place %d", i, k)
							compared++
						}
					}
				}
				compare()
				proposals, err := p.propose(t.Context())
				require.NoError(t, err)
				p = p.learnt(p.choose(proposals, constraints{}))
				require.True(t, p.leader.known)
				compare()
				require.Greater(t, compared, 30)
			})
		}
	}
}

func TestTemplatesThatBeginAlikeShareTheirNotes(t *testing.T) {
	var templates []Template
	for i, notation := range []string{"x x x x", "x x xx x", "x x x. x", "xx x x x", "x . . ."} {
		templates = append(templates, Template{
			fmt.Sprint(i),
			rhythm.MustParse(notation, "4/4", 80+10*float64(i)),
		})
	}
	tree := newBook(templates, 0).tree
	require.Len(t, tree.roots, 2,
		"smallest intervals of a half beat and of a beat; one note alone is no template")
	require.Equal(t, 1.0/6, tree.roots[0].closest)
	require.Equal(t, 1.0/3, tree.roots[1].closest)
	beats := tree.roots[1]
	require.Equal(t, 3, beats.fewest)
	require.Equal(t, 3, beats.most)
	require.Len(t, beats.next, 1)
	require.Len(t, beats.next[0].next[0].next[0].whole, 2, "the same notes at two tempos")
	require.Len(t, tree.roots[0].next, 2, "x x xx x and xx x x x part at the second note")
	require.InDelta(t, math.Log(3*60/100.0), beats.spans.low, 1e-9)
	require.InDelta(t, math.Log(3*60/80.0), beats.spans.high, 1e-9)
}
