// Package feed brings samples to the hearing: read ahead on a goroutine of its own, and only the
// part of a recording that was asked for.
package feed
