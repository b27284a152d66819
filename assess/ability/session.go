package ability

// Session takes rounds one at a time. It must not be used by several goroutines
// at once; the posteriors and results it gives out may be.
type Session struct {
	settings  Settings
	prior     *Posterior
	posterior *Posterior
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
		next, err := s.posterior.Update(o)
		if err != nil {
			return err
		}
		s.posterior = next
		if o.Item != "" {
			s.place[o.Item] = len(s.items)
		}
		s.items = append(s.items, []Observation{o})
	case len(s.items[at]) < maxTries:
		s.items[at] = append(s.items[at], o)
		s.posterior = s.prior
		for _, tries := range s.items {
			next, err := s.posterior.UpdateTogether(tries)
			if err != nil {
				return err // cannot happen: every try was checked
			}
			s.posterior = next
		}
	}
	s.rounds = append(s.rounds, o)
	return nil
}

// Posterior returns the belief after the rounds so far.
func (s *Session) Posterior() *Posterior { return s.posterior }

// Result returns the result after the rounds so far.
func (s *Session) Result() Result { return newResult(s.settings, s.posterior, s.rounds) }
