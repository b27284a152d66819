// Package view shows a report and its parts to people and to programs: as text for a terminal, as
// JSON, as pictures.
//
// # Text
//
// [Text] is made to be read in a break of two minutes: its first three lines say which tier and how
// sure, what to open with and what to fall back to. Then come the rounds, each with its phrase in
// boxes and, under every box, how much of the group was heard there. [Style] says what the terminal
// can show; the zero Style is plain ASCII, 80 columns, no colour.
//
// # What is never shown
//
// Absolute loudness, because a phone is not calibrated, and anything about one person. Shares of
// people are written as "about", because a microphone can't count hands.
//
// All functions are deterministic: the same value gives the same bytes. They do not change their
// arguments and may be used concurrently.
package view
