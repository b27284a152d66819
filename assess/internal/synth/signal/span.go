package signal

// Span is a stretch of time.
type Span struct {
	Start float64 `json:"start_s"` // seconds from the first sample
	End   float64 `json:"end_s"`   // seconds from the first sample
}
