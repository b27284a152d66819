// Package bank reads, checks, edits and writes what a leader has to offer: the bank of phrases to
// call, the repertoire of pieces to play, and sheets of how groups did with them.
//
// # Files
//
// A bank is a TOML file with a table for each phrase:
//
//	[[phrase]]
//	id = "gangway"           # required: one short word, unique
//	name = "Mind out, gangway clear"
//	meter = "4/4"            # required: see package rhythm
//	tempo = 96               # beats a minute, 20 to 400; 96 where not given
//	rhythm = "x x xx x"      # required: see package rhythm
//	tier = 2                 # the leader's own placing, 1 to 20
//	difficulty = 2.3         # a finer placing on the same scale
//	difficulty_sd = 0.4      # how sure it is, tiers; with learned_from, written by learning
//	learned_from = 6         # groups that it was learned from
//	tags = ["opener"]        # words without comma and semicolon
//	notes = "Say it first."
//
// A repertoire has a table for each piece (id, name, meter, tempo, tier, tags, notes) and below it
// one for each part (name, role, rhythm, and meter and tempo where they differ from those of the
// piece). A role is core, support or lead; core where not given. At least one part is core.
//
// Both may be CSV sheets with the same names as columns, separated by commas, semicolons or tabs,
// tags in one cell with commas or semicolons between them. In the sheet of a repertoire each row is
// a part; the column part is its name, role must be there, and what belongs to the piece stands in
// the first row with its id.
//
// Which of the two a file is follows from its content. A byte-order mark, the line ends of any
// system, and capital letters in the header of a sheet are accepted. Everything else is strict: an
// unknown key or table, a value of the wrong type, an id twice, a curly quote is a [Problem], with
// place and advice, and all problems of a file are reported at once in a [FileError]. What is legal
// but may not be meant is in [Bank.Remarks] and [Repertoire.Remarks].
//
// [FormatTOML], [SetPins] and [AppendPhrase] change the text of a file and keep its comments and
// order; [Bank.EncodeTOML] and [Bank.EncodeCSV] write one anew.
//
// Values of this package may be read by several goroutines at once. Functions that take the text of
// a file don't change it.
package bank
