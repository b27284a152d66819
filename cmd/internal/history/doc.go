// Package history is a leader's log of warm-ups: one file a user, one line a
// warm-up, nothing but numbers and notation.
//
// # The file
//
// The log is JSON Lines: each line is one [Record], described by
// history.schema.json. It is only ever appended to, except by [Log.Forget].
// A record holds the label the leader gave the group, the date, and for each round
// the phrase and how much of the group got it. It never holds sound, and a label
// should not be a person's name: see [LooksLikeName].
//
// # What is promised
//
// A record is safe once [Log.Append] returns: it was written in one piece and
// flushed to the disk. Where a program is killed or the power goes while a record
// is being written, that record may be lost or left damaged; every earlier one
// stays. A damaged line is reported by [Log.Read] with its number and skipped, and so
// is one that a newer version wrote. Several programs may use one log at once: a lock
// beside the file (its name and ".lock") keeps writers apart. The promise needs a
// disk that does what it is told, and a file system with working locks; some network
// folders have neither.
//
// # Trends
//
// The difficulty of a phrase changes when the program learns or its model is
// refitted. [NewTrend] therefore does not compare the levels that were
// recorded: it estimates every date again, from the recorded shares and present
// difficulties.
//
// # Concurrency
//
// A [Log] may be used by several goroutines. Other values are plain data.
package history
