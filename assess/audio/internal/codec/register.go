package codec

import "context"

// Opener makes a recording of one container ready for decoding. A *[Foreign] error says that the
// recording is sound, but not in a codec that is decoded here.
type Opener func(in *Input, opts Options) (*Sound, error)

// Fallback decodes by other means what no opener does.
type Fallback func(ctx context.Context, in *Input, what *Foreign, opts Options) (*Sound, error)

var (
	openers  = map[string]Opener{}
	fallback Fallback
)

// Register makes a container known to the decoder. Packages call it while they are initialised, as
// those of package image do; it is not safe later.
func Register(c Container, open Opener) { openers[c.Name] = open }

// RegisterFallback says what decodes the rest. See [Register].
func RegisterFallback(open Fallback) { fallback = open }

// Open makes a recording of the given container ready.
func Open(c Container, in *Input, opts Options) (*Sound, error) {
	if open, ok := openers[c.Name]; ok {
		return open(in, opts)
	}
	return nil, &Foreign{Container: c}
}

// OpenForeign makes a recording ready that no opener takes.
func OpenForeign(ctx context.Context, in *Input, what *Foreign, opts Options) (*Sound, error) {
	if fallback == nil {
		return nil, Unsupported(what.Name, "%s is not decoded here", what.What())
	}
	return fallback(ctx, in, what, opts)
}
