package assess

// place puts the times of a report on a part of a recording where they belong in the whole.
func (r *Report) place(from, to float64) {
	left := r.Recording.LeftOut
	for i := range left {
		left[i].Start, left[i].End = rounded(left[i].Start+from, 1), rounded(left[i].End+from, 1)
	}
	if from > 0 {
		shift(r.Rounds, from)
		left = append([]LeftOut{{0, rounded(from, 1), NotAsked}}, left...)
	}
	if duration := r.Recording.Duration; to > 0 && to < duration {
		left = append(left, LeftOut{rounded(to, 1), rounded(duration, 1), NotAsked})
	}
	r.Recording.LeftOut = left
}

// shift moves all times of rounds by seconds.
func shift(list []Round, by float64) {
	if by == 0 {
		return
	}
	move := func(t *float64) { *t = rounded(*t+by, 4) }
	for i := range list {
		r := &list[i]
		move(&r.Call.Start)
		move(&r.Call.End)
		for k := range r.Call.Onsets {
			move(&r.Call.Onsets[k])
		}
		if r.Response != nil {
			move(&r.Response.Start)
			move(&r.Response.End)
			for k := range r.Response.Onsets {
				move(&r.Response.Onsets[k])
			}
		}
		for k := range r.Notes {
			move(&r.Notes[k].Expected)
			if r.Notes[k].Played != nil {
				move(r.Notes[k].Played)
			}
		}
		for k := range r.Extras {
			move(&r.Extras[k].Time)
		}
	}
}
