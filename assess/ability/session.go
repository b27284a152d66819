package ability

// Session takes rounds one at a time. It must not be used by several goroutines
// at once; the posteriors and results it gives out may be.
//
// The belief is worked out when it is asked for, and then only for the phrases
// with a new try: what is known of the others stays as it is.
type Session struct {
	settings  Settings
	posterior *Posterior
	rounds    []Observation
	place     map[string]*item // by name
	waiting   []*item          // with tries that posterior does not know
	chosen    []float64        // difficulties of the leader's calls
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
	return &Session{settings: settings, posterior: prior, place: map[string]*item{}}, nil
}

// Add takes a round into account. Another try at a phrase (same non-empty Item)
// is weighed together with the earlier ones, because they share the error of
// its difficulty. On error, an *InputError, the session is unchanged.
func (s *Session) Add(o Observation) error {
	if err := o.check(); err != nil {
		return err
	}
	s.rounds = append(s.rounds, o)
	it := s.place[o.Item]
	if it == nil || o.Item == "" {
		it = new(item)
		s.place[o.Item] = it
	}
	if len(it.tries) == maxTries {
		return nil
	}
	if len(it.tries) == it.known {
		s.waiting = append(s.waiting, it)
	}
	it.tries = append(it.tries, o)
	return nil
}

// Called takes note of the difficulty of a call that the leader chose, answered or
// not: what a leader calls says what they think of the group. Leave it out where somebody
// else chose.
func (s *Session) Called(difficulty float64) { s.chosen = append(s.chosen, difficulty) }

// Posterior returns the belief after the rounds and calls so far.
func (s *Session) Posterior() *Posterior {
	if len(s.waiting) > 0 {
		next := s.posterior.copy()
		for _, it := range s.waiting {
			it.tell(next)
			next.normalise()
		}
		s.posterior, s.waiting = next, s.waiting[:0]
	}
	p := s.posterior
	if s.settings.CommonSD > 0 && len(s.rounds) > 0 {
		p = p.blurred(s.settings.CommonSD, s.settings.Prior)
	}
	return p.chosen(s.chosen, s.settings.Prior)
}

// Result returns the result after the rounds so far.
func (s *Session) Result() Result { return newResult(s.settings, s.Posterior(), s.rounds) }
