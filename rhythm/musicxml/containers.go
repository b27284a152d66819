package musicxml

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"path"
	"strings"
)

const (
	mimeType      = "application/vnd.recordare.musicxml"
	containerPath = "META-INF/container.xml"
	maxXML        = 8 << 20
	maxContainer  = 64 << 10
	maxFiles      = 1000
)

// document returns the XML text of a plain or compressed file.
func document(data []byte) ([]byte, error) {
	switch {
	case len(data) > maxXML:
		return nil, tooLarge("the file")
	case bytes.HasPrefix(data, []byte("PK\x03\x04")):
		return unpack(data)
	case bytes.HasPrefix(data, []byte{0xfe, 0xff}) || bytes.HasPrefix(data, []byte{0xff, 0xfe}):
		return nil, &Error{
			Message: "the score is written in UTF-16",
			Advice:  "export it as UTF-8, or as compressed MusicXML",
		}
	}
	return bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")), nil
}

func tooLarge(what string) *Error {
	return &Error{
		Message: fmt.Sprintf("%s has more than %d MiB", what, maxXML>>20),
		Advice:  "export only the part with the rhythm",
	}
}

// unpack finds the score in a compressed file without unpacking anything else.
func unpack(data []byte) ([]byte, error) {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, damaged("", "the compressed score can't be opened: %v", err)
	}
	if len(archive.File) > maxFiles {
		return nil, &Error{Message: fmt.Sprintf("the compressed score holds more than %d files",
			maxFiles), Advice: "export the score again"}
	}
	root, err := rootFile(archive)
	if err != nil {
		return nil, err
	}
	for _, f := range archive.File {
		if f.Name != root {
			continue
		}
		text, err := contents(f, maxXML)
		if err != nil {
			return nil, err
		}
		return bytes.TrimPrefix(text, []byte("\xef\xbb\xbf")), nil
	}
	return nil, damaged("", "the compressed score names %q, which it does not hold", root)
}

// rootFile is the path of the score, from the container file, or failing that the only XML file at
// the top.
func rootFile(archive *zip.Reader) (string, error) {
	only, count := "", 0
	for _, f := range archive.File {
		if f.Name == containerPath {
			text, err := contents(f, maxContainer)
			if err != nil {
				return "", err
			}
			var container struct {
				Roots []struct {
					Path string `xml:"full-path,attr"`
				} `xml:"rootfiles>rootfile"`
			}
			if err := xml.Unmarshal(text, &container); err != nil || len(container.Roots) == 0 {
				return "", damaged("", "the compressed score does not say where its music is")
			}
			return container.Roots[0].Path, nil
		}
		switch strings.ToLower(path.Ext(f.Name)) {
		case ".xml", ".musicxml":
			if !strings.Contains(f.Name, "/") {
				only, count = f.Name, count+1
			}
		}
	}
	if count == 1 {
		return only, nil
	}
	return "", &Error{
		Message: "this compressed file holds no score",
		Advice:  "export compressed MusicXML with the ending .mxl",
	}
}

// contents reads one file of an archive up to a limit, whatever its header claims.
func contents(f *zip.File, limit int64) ([]byte, error) {
	if f.UncompressedSize64 > uint64(limit) {
		return nil, tooLarge("the score inside the compressed file")
	}
	r, err := f.Open()
	if err != nil {
		return nil, damaged("", "the compressed score can't be opened: %v", err)
	}
	defer r.Close()
	text, err := io.ReadAll(io.LimitReader(r, limit+1))
	switch {
	case err != nil:
		return nil, damaged("", "the compressed score is damaged: %v", err)
	case int64(len(text)) > limit:
		return nil, tooLarge("the score inside the compressed file")
	}
	return text, nil
}
