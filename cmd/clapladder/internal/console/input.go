package console

import (
	"errors"
	"io"

	"clapladder.example/cmd/clapladder/internal/fault"
	"clapladder.example/cmd/clapladder/internal/naming"
)

// Open opens a file to read from, or standard input for "-". The caller closes it.
func (con *Console) Open(path string) (io.ReadCloser, error) {
	if path == naming.Standard {
		return io.NopCloser(con.Stdin), nil
	}
	f, err := con.openFile(path)
	if err != nil {
		return nil, fault.Input(path, fault.Plain(err))
	}
	info, err := f.Stat()
	if err == nil && info.IsDir() {
		err = errors.New("this is a folder; name a file in it")
	}
	if err != nil {
		f.Close()
		return nil, fault.Input(path, fault.Plain(err))
	}
	if !info.Mode().IsRegular() {
		return &interruptibleFile{interruptibleReader{ctx: con.Ctx, r: f}, f}, nil
	}
	return f, nil
}

// ReadAll reads a whole file that people edit. A file beyond the limit is refused, never cut.
func (con *Console) ReadAll(path string) ([]byte, error) {
	f, err := con.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	most := con.Loader().MaxBytes
	data, err := io.ReadAll(io.LimitReader(f, int64(most)+1))
	if err != nil {
		return nil, fault.Input(path, fault.Plain(err))
	}
	if len(data) > most {
		return nil, fault.BadInput(path, "the file is larger than %d MiB; %s", most>>20,
			con.beyond("split it into several files"))
	}
	return data, nil
}
