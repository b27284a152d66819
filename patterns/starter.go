package patterns

// StarterBank returns the phrases that come with the package. The caller owns the result.
func StarterBank() *Bank { return &Bank{} }

// StarterRepertoire returns the pieces that come with the package. The caller owns the result.
func StarterRepertoire() *Repertoire { return &Repertoire{} }
