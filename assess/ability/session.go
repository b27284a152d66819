package ability

// Session takes rounds one at a time. It must not be used by several goroutines
// at once; the posteriors and results it gives out may be.
//
// The belief is worked out when it is asked for: each phrase then costs one pass
// over the grid, however many of its tries came since.
type Session struct {
	settings  Settings
	prior     *Posterior
	posterior *Posterior // after the first weighed items
	weighed   int
	rounds    []Observation
	items     [][]Observation // tries at one phrase, in order of the first
	place     map[string]int  // of a named phrase in items
}

// NewSession starts with the prior. The error is an *InputError.
func NewSession(settings Settings) (*Session, error) {
	settings, err := settings.complete()
	if err != nil {
		return nil, err
	}
	prior, err := NewPosterior(settings.Prior)
	if err != nil {
		return nil, err
	}
	return &Session{
		settings: settings, prior: prior, posterior: prior,
		place: map[string]int{},
	}, nil
}

// Add takes a round into account. Another try at a phrase (same non-empty Item)
// is weighed together with the earlier ones, because they share the error of
// its difficulty. On error, an *InputError, the session is unchanged.
func (s *Session) Add(o Observation) error {
	if err := o.check(); err != nil {
		return err
	}
	at, again := s.place[o.Item]
	switch {
	case !again || o.Item == "":
		if o.Item != "" {
			s.place[o.Item] = len(s.items)
		}
		s.items = append(s.items, []Observation{o})
	case len(s.items[at]) < maxTries:
		s.items[at] = append(s.items[at], o)
		if at < s.weighed { // what was made of the earlier tries is part of the belief
			s.posterior, s.weighed = s.prior, 0
		}
	}
	s.rounds = append(s.rounds, o)
	return nil
}

// Posterior returns the belief after the rounds so far.
func (s *Session) Posterior() *Posterior {
	for ; s.weighed < len(s.items); s.weighed++ {
		next, err := s.posterior.UpdateTogether(s.items[s.weighed])
		if err != nil {
			panic("ability: " + err.Error()) // cannot happen: every try was checked
		}
		s.posterior = next
	}
	return s.posterior
}

// Result returns the result after the rounds so far.
func (s *Session) Result() Result { return newResult(s.settings, s.Posterior(), s.rounds) }
