package onset

import (
	"math"
	"sort"
)

// Echoes finds the attacks that are a wall's answer to those before: a fixed time after most sharp
// strokes comes a fainter one, more exactly than any hands could. It names them in ascending order;
// nil where there is no such wall.
func (a *Analysis) Echoes() []int {
	e := echoes{Analysis: a, level: make([]float64, len(a.Attacks)), echo: make([]bool, len(a.Attacks))}
	for i, x := range a.Attacks {
		e.level[i] = 10 * math.Log10(x.Power+silentPower)
		if x.clapContrast >= echoContrast && x.Concentration >= echoDense {
			e.sharp = append(e.sharp, i)
		}
	}
	if len(e.sharp) < echoFew {
		return nil
	}
	for _, delay := range e.delays() {
		if e.answers(delay) {
			for i := range a.Attacks {
				if k := e.of(i, delay); k >= 0 {
					e.echo[k] = true
				}
			}
		}
	}
	var out []int
	for i, is := range e.echo {
		if is {
			out = append(out, i)
		}
	}
	return out
}

// WithoutEchoes is the analysis without those attacks.
func (a *Analysis) WithoutEchoes() *Analysis {
	if echoes := a.Echoes(); len(echoes) > 0 {
		return a.Without(echoes)
	}
	return a
}

// echoes looks for the echoes among the attacks of an analysis.
type echoes struct {
	*Analysis
	level []float64 // of each attack, dB
	sharp []int     // attacks that should have an echo, unless they are one
	echo  []bool    // whether an attack was found to be one
}

// delays are times after which many of the sharp strokes have a fainter one, ascending.
func (e *echoes) delays() []float64 {
	const bins = int((echoLatest-echoSoonest)/echoBin) + 1
	var seen [bins]int
	for _, i := range e.sharp {
		for k := i + 1; k < len(e.Attacks); k++ {
			delay := e.Attacks[k].Time - e.Attacks[i].Time
			if delay >= echoLatest {
				break
			}
			if delay >= echoSoonest && e.fainter(k, i) {
				seen[int((delay-echoSoonest)/echoBin)]++
			}
		}
	}
	var out []float64
	last := -1
	for b := 1; b < bins; b++ { // an echo falls into one bin or two
		n := seen[b-1] + seen[b]
		if float64(n) < echoCandidate*float64(len(e.sharp)) {
			continue
		}
		delay := echoSoonest + float64(b)*echoBin
		if last >= 0 && b-last < 3 {
			if n <= seen[last-1]+seen[last] {
				continue
			}
			out = out[:len(out)-1]
		}
		out, last = append(out, delay), b
	}
	return out
}

// answers reports whether most sharp strokes that are no echoes have one after a delay in seconds,
// of those after which it could be heard.
func (e *echoes) answers(delay float64) bool {
	own := make([]bool, len(e.echo)) // what would be an echo
	for _, i := range e.sharp {
		if k := e.of(i, delay); k >= 0 {
			own[k] = true
		}
	}
	found, heard := 0.0, 0.0
	for _, i := range e.sharp {
		switch {
		case e.echo[i] || own[i]:
		case e.of(i, delay) >= 0:
			found, heard = found+1, heard+1
		case !e.covered(e.Attacks[i].Time+delay, e.level[i]-echoFaintest):
			heard++
		}
	}
	return heard >= echoFew && found >= echoShare*heard
}

// fainter reports whether attack k is as much fainter than attack i as an echo may be.
func (e *echoes) fainter(k, i int) bool {
	by := e.level[i] - e.level[k]
	return by >= echoFainter && by <= echoFaintest
}

// of is the attack that may be the echo of attack i after a delay in seconds; -1 for none.
func (e *echoes) of(i int, delay float64) int {
	at := e.Attacks[i].Time + delay
	for k := e.attackFrom(at - echoBin); k < len(e.Attacks) && e.Attacks[k].Time <= at+echoBin; k++ {
		if e.fainter(k, i) {
			return k
		}
	}
	return -1
}

// covered reports whether an attack as loud as a level lies so close to a time that a fainter one
// there would not be heard.
func (e *echoes) covered(at, least float64) bool {
	for k := e.attackFrom(at - echoCovered); k < len(e.Attacks) && e.Attacks[k].Time <= at+echoAfter; k++ {
		if e.level[k] >= least {
			return true
		}
	}
	return false
}

// attackFrom is the first attack at a time in seconds or after it.
func (e *echoes) attackFrom(time float64) int {
	return sort.Search(len(e.Attacks), func(k int) bool { return e.Attacks[k].Time >= time })
}
