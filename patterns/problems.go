package patterns

// Problem is one thing to put right in a file.
type Problem struct {
	Line    int    // from 1; 0 where it concerns the whole file
	Column  int    // from 1, in characters; 0 where it concerns the whole file
	Message string // what is wrong
	Advice  string // what to write instead; may be empty
	Excerpt string // the line at fault, a line break and a caret below the place; may be empty
}

// FileError is a file that can't be used, with everything that was found wrong in it, in the order of the file.
type FileError struct {
	Name     string // as given to the loader
	Problems []Problem
}

func (e *FileError) Error() string { return e.Name }
