package onset

// Span is a part of a recording, in seconds.
type Span struct{ Start, End float64 }

// Within is the analysis with everything outside the spans silenced: no power, no attacks. Times
// stay as they are, and so does the background, which was measured with the sound around. The
// analysis itself is not changed. The spans are in order of time and do not overlap.
func (a *Analysis) Within(spans []Span) *Analysis {
	n := a.Envelope.Frames()
	out := &Analysis{
		Envelope: &Envelope{Low: make([]float32, n), Clap: make([]float32, n)}, floors: a.floors,
	}
	for _, s := range spans {
		from, to := min(n, max(0, int(s.Start*FrameRate))), min(n, max(0, int(s.End*FrameRate)))
		if from >= to {
			continue
		}
		copy(out.Envelope.Low[from:to], a.Envelope.Low[from:to])
		copy(out.Envelope.Clap[from:to], a.Envelope.Clap[from:to])
		for _, x := range a.Attacks {
			if x.Time >= s.Start && x.Time < s.End {
				out.Attacks = append(out.Attacks, x)
			}
		}
	}
	d := &detector{e: &bands{clap: out.Envelope.Clap}, floors: out.floors}
	out.Kernel = d.roomKernel(out.Attacks)
	return out
}
