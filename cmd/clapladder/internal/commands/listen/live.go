package listen

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"io"
	"os/signal"
	"syscall"

	"clapladder.example/assess"
	"clapladder.example/assess/plan"
	"clapladder.example/assess/view"
	"clapladder.example/cmd/clapladder/internal/console"
	"clapladder.example/cmd/clapladder/internal/fault"
)

// untilStopped is sound that comes in until it ends or the program is told to stop, which is no
// error then.
type untilStopped struct {
	ctx context.Context
	r   io.Reader // ends with the context
}

func (u *untilStopped) Read(p []byte) (int, error) {
	n, err := u.r.Read(p)
	if err != nil && u.ctx.Err() != nil {
		err = io.EOF
	}
	return n, err
}

// follow listens while the recording comes in, and says after every round what is known.
func (c *Score) follow(con *console.Console, s scoring, r io.Reader) (*assess.Report, error) {
	r = &untilStopped{con.Ctx, console.Interruptible(con.Ctx, r)}
	if c.Raw != 0 {
		r = io.MultiReader(bytes.NewReader(rawHeader(c.Raw)), r)
	}
	con.Ctx = context.WithoutCancel(con.Ctx) // the first Ctrl-C only ends the recording
	saves := c.Save != nil
	if saves { // a reader that has seen enough must not end the program before it has saved
		signal.Ignore(syscall.SIGPIPE)
	}
	report, err := assess.Follow(con.Ctx, r, s.bank, s.options, func(sofar *assess.Report) error {
		if c.JSON {
			text, err := json.Marshal(sofar)
			if err != nil {
				return err
			}
			con.Print(string(text))
		} else if err := view.SoFar(con.Stdout, sofar, con.Style); err != nil && !saves {
			return err
		}
		if err := con.Stdout.Flush(); err != nil && !saves {
			return err
		}
		return nil
	})
	if e, ok := errors.AsType[*plan.NoPieceError](err); ok {
		return nil, fault.Usage("%v", e)
	}
	if err == nil && !c.JSON {
		con.Print("")
	}
	return report, err
}

// rawHeader is the head of a WAV file without an end for mono samples of 16 bits (Microsoft and
// IBM, Multimedia Programming Interface and Data Specifications 1.0, RIFF WAVE).
func rawHeader(rate int) []byte {
	const endless = 0xffffffff
	head := []byte("RIFF")
	head = binary.LittleEndian.AppendUint32(head, endless)
	head = append(head, "WAVEfmt "...)
	head = binary.LittleEndian.AppendUint32(head, 16)
	for _, half := range []uint16{1, 1} { // PCM, one channel
		head = binary.LittleEndian.AppendUint16(head, half)
	}
	head = binary.LittleEndian.AppendUint32(head, uint32(rate))
	head = binary.LittleEndian.AppendUint32(head, uint32(2*rate))
	head = binary.LittleEndian.AppendUint16(head, 2)
	head = binary.LittleEndian.AppendUint16(head, 16)
	head = append(head, "data"...)
	return binary.LittleEndian.AppendUint32(head, endless)
}
