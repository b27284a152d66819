package codec

import (
	"bytes"
	"encoding/binary"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// container describes a format by the first bytes of a file.
type Container struct {
	Name    string // Info.Format
	Display string // for people
	FFmpeg  string // demuxer that ffmpeg is told to use; empty if it is not asked
}

// The containers that are recognised. Giving ffmpeg the demuxer by name keeps it
// from taking the bytes for a playlist or another format that opens files.
var (
	WAVFile  = Container{"wav", "WAV", "wav"}
	AIFFFile = Container{"aiff", "AIFF", "aiff"}
	FLACFile = Container{"flac", "FLAC", "flac"}
	MP3File  = Container{"mp3", "MP3", "mp3"}
	OggFile  = Container{"ogg", "Ogg", "ogg"}
	ADTSFile = Container{"aac", "AAC", "aac"}
	MP4File  = Container{"mp4", "MP4", "mov"}
	AMRFile  = Container{"amr", "AMR", "amr"}
	cafFile  = Container{"caf", "CAF", "caf"}
	webmFile = Container{"webm", "WebM", "matroska"}
	mkaFile  = Container{"matroska", "Matroska", "matroska"}
	wmaFile  = Container{"wma", "WMA", "asf"}
	wvFile   = Container{"wavpack", "WavPack", "wv"}
	auFile   = Container{"au", "AU", "au"}
	w64File  = Container{"w64", "Wave64", "w64"}
	apeFile  = Container{"ape", "APE", "ape"}
	ac3File  = Container{"ac3", "AC-3", "ac3"}
	aviFile  = Container{"avi", "AVI", "avi"}
	mpegTS   = Container{"mpegts", "MPEG transport stream", "mpegts"}
	mpegPS   = Container{"mpeg", "MPEG", "mpeg"}
	known    = []Container{
		WAVFile, AIFFFile, FLACFile, MP3File, OggFile, ADTSFile, MP4File,
		AMRFile, cafFile, webmFile, mkaFile, wmaFile, wvFile, auFile, w64File, apeFile, ac3File,
		aviFile, mpegTS, mpegPS,
	}
	noContent Container
)

// displayName is the name of a format in messages.
func DisplayName(format string) string {
	for _, c := range known {
		if c.Name == format {
			return c.Display
		}
	}
	return "sound"
}

// Signatures at the very start. The WAV, AIFF and AVI families need a second
// look and are matched in sniff.
var magics = []struct {
	magic string
	Container
}{
	{"fLaC", FLACFile},
	{"OggS", OggFile},
	{"#!AMR", AMRFile},
	{"caff", cafFile},
	{"\x1a\x45\xdf\xa3", webmFile},
	{"\x30\x26\xb2\x75\x8e\x66\xcf\x11", wmaFile},
	{"wvpk", wvFile},
	{".snd", auFile},
	{"riff\x2e\x91\xcf\x11", w64File},
	{"MAC ", apeFile},
	{"\x0b\x77", ac3File},
	{"\x00\x00\x01\xba", mpegPS},
}

// Files that people pick by mistake, and what to tell them.
var mistakes = []struct{ magic, what, advice string }{
	{"MThd", "this is a MIDI file, which holds notes but no sound", "give it as taps instead"},
	{"PK\x03\x04", "this is a ZIP archive, not a recording", "unpack it and give the sound file inside"},
	{"\x1f\x8b", "this is a compressed archive, not a recording", "unpack it and give the sound file inside"},
	{
		"7z\xbc\xaf\x27\x1c", "this is a compressed archive, not a recording",
		"unpack it and give the sound file inside",
	},
	{"%PDF", "this is a PDF document, not a recording", ""},
	{"\xff\xd8\xff", "this is a picture, not a recording", ""},
	{"\x89PNG", "this is a picture, not a recording", ""},
	{"GIF8", "this is a picture, not a recording", ""},
	{"\x7fELF", "this is a program, not a recording", ""},
	{"MZ", "this is a program, not a recording", ""},
	{"SQLite format 3", "this is a database, not a recording", ""},
}

// sniffLength is how much of the file sniff wants to see.
const SniffLength = 32 << 10

// sniff tells the container from the first bytes of a file, at most sniffLength.
func Sniff(head []byte) (Container, error) {
	if len(head) == 0 {
		return noContent, &Error{
			Kind: KindEmpty, Message: "the file is empty",
			Advice: "check that the recording was saved",
		}
	}
	for _, m := range magics {
		if !bytes.HasPrefix(head, []byte(m.magic)) {
			continue
		}
		if m.Container == webmFile && !bytes.Contains(head[:min(len(head), 64)], []byte("webm")) {
			return mkaFile, nil
		}
		return m.Container, nil
	}
	if len(head) >= 12 {
		switch family, form := string(head[:4]), string(head[8:12]); {
		case (family == "RIFF" || family == "RF64" || family == "BW64" || family == "RIFX") && form == "WAVE":
			return WAVFile, nil
		case family == "FORM" && (form == "AIFF" || form == "AIFC"):
			return AIFFFile, nil
		case family == "RIFF" && form == "AVI ":
			return aviFile, nil
		}
		switch string(head[4:8]) {
		case "ftyp", "moov", "mdat", "wide", "free", "skip", "pnot":
			return MP4File, nil
		}
	} else if prefixOf(head, "RIFF", "RF64", "RIFX", "FORM") {
		return noContent, TruncatedHeader("wav")
	}
	if c, ok := sniffMPEG(head); ok {
		return c, nil
	}
	for _, m := range mistakes {
		if bytes.HasPrefix(head, []byte(m.magic)) {
			return noContent, &Error{Kind: KindNotAudio, Message: m.what, Advice: m.advice}
		}
	}
	if looksLikeText(head) {
		return noContent, &Error{
			Kind: KindNotAudio, Message: "this is a text file, not a recording",
			Advice: "a file does not become sound by its name; export or record it as WAV, M4A or MP3",
		}
	}
	return noContent, &Error{
		Kind: KindNotAudio, Message: "this is not a sound file of a known kind",
		Advice: "use WAV, M4A, MP3, FLAC, Ogg or Opus, or " + convert,
	}
}

func prefixOf(head []byte, names ...string) bool {
	return slices.ContainsFunc(names,
		func(name string) bool { return bytes.HasPrefix(head, []byte(name)) })
}

// sniffMPEG finds the formats that have a frame sync instead of a signature:
// MP3 and ADTS, both with or without an ID3 tag, and MPEG transport streams.
func sniffMPEG(head []byte) (Container, bool) {
	if len(head) > 188*2 && head[0] == 0x47 && head[188] == 0x47 && head[376] == 0x47 {
		return mpegTS, true
	}
	if tag := ID3Length(head); tag > 0 {
		if tag+4 > len(head) {
			return MP3File, true // a long tag with a cover picture: nearly always MP3
		}
		rest := head[tag:]
		if bytes.HasPrefix(rest, []byte("fLaC")) {
			return FLACFile, true
		}
		if c, ok := sniffMPEG(rest); ok {
			return c, true
		}
		return MP3File, true
	}
	if looksLikeText(head) {
		return noContent, false
	}
	// A cut file may start in the middle of a frame. Three frames in a row that
	// agree are no accident; a file of one or two frames must start with one.
	for i := 0; i+4 <= len(head); i++ {
		if head[i] != 0xff {
			continue
		}
		if n := adtsRun(head[i:]); n >= 3 || n >= 1 && i == 0 {
			return ADTSFile, true
		}
		if n := mp3Run(head[i:]); n >= 3 || n >= 1 && i == 0 {
			return MP3File, true
		}
	}
	return noContent, false
}

// id3Length is the length of an ID3v2 tag at the start of b, 0 if there is none.
func ID3Length(b []byte) int {
	if len(b) < 10 || string(b[:3]) != "ID3" || b[3] == 0xff || b[6]|b[7]|b[8]|b[9] >= 0x80 {
		return 0
	}
	n := 10 + int(b[6])<<21 + int(b[7])<<14 + int(b[8])<<7 + int(b[9])
	if b[5]&0x10 != 0 {
		n += 10 // footer
	}
	return n
}

// mp3Run counts the frames at the start of b that follow one another, up to 3.
func mp3Run(b []byte) int {
	n := 0
	var first MP3Header
	for n < 3 && len(b) >= 4 {
		h, ok := ParseMP3Header(binary.BigEndian.Uint32(b))
		if !ok || n > 0 && !h.SameStream(first) {
			break
		}
		first, n = h, n+1
		if h.Size() > len(b) {
			break
		}
		b = b[h.Size():]
	}
	return n
}

// adtsRun is mp3Run for ADTS.
func adtsRun(b []byte) int {
	n := 0
	for n < 3 && len(b) >= ADTSHeaderSize {
		h, ok := ParseADTSHeader(b)
		if !ok {
			break
		}
		n++
		if h.Size > len(b) {
			break
		}
		b = b[h.Size:]
	}
	return n
}

// looksLikeText reports whether b is UTF-8 or UTF-16 text.
func looksLikeText(b []byte) bool {
	b = b[:min(len(b), 512)]
	if bytes.HasPrefix(b, []byte("\xff\xfe")) || bytes.HasPrefix(b, []byte("\xfe\xff")) {
		zeros := bytes.Count(b, []byte{0})
		return zeros > len(b)/4 && zeros < len(b)*3/4
	}
	for len(b) > 0 {
		r, n := utf8.DecodeRune(b)
		if r == utf8.RuneError && n == 1 {
			return len(b) < utf8.UTFMax && !utf8.FullRune(b)
		}
		if unicode.IsControl(r) && !strings.ContainsRune("\t\n\v\f\r\x1b", r) {
			return false
		}
		b = b[n:]
	}
	return true
}
