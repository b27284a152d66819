// Package fault is what can go wrong, in words for people, and the exit status it means.
package fault

// Exit statuses.
const (
	ExitDone   = 0
	ExitFailed = 1 // the work could not be finished
	ExitUsage  = 2 // wrong command line
	ExitInput  = 3 // a file that can't be used
)
