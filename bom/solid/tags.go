package solid

import (
	"bufio"
	"bytes"
	"errors"
	"io"
)

// tagReader goes through the start tags of an XML text, with their attributes as they
// are written. Names lose their prefix; what stands between tags is passed over.
type tagReader struct {
	r     *bufio.Reader
	name  []byte
	attrs [][2][]byte
	text  []byte
}

// longestTag bounds what is held of one tag.
const longestTag = 1 << 16

var errTag = errors.New("a tag that does not end")

// next finds the next start tag; found is false where the text ends.
func (t *tagReader) next() (found bool, err error) {
	for {
		if err := t.until('<', false); err != nil {
			if errors.Is(err, io.EOF) {
				return false, nil
			}
			return false, err
		}
		if err := t.until('>', true); err != nil {
			return false, errTag
		}
		for bytes.HasPrefix(t.text, []byte("!--")) && !bytes.HasSuffix(t.text, []byte("-->")) {
			if err := t.until('>', true); err != nil {
				return false, errTag
			}
			if n := len(t.text); n > 64 { // the rest of a comment is nothing to hold
				t.text = append(t.text[:3], t.text[n-3:]...)
			}
		}
		if c := t.text[0]; c != '!' && c != '?' && c != '/' && c != '>' {
			t.split()
			return true, nil
		}
	}
}

// until reads up to a byte. What is kept is added to the text of the tag, which a
// quoted byte does not end.
func (t *tagReader) until(end byte, keep bool) error {
	if !keep {
		t.text = t.text[:0]
	}
	for {
		part, err := t.r.ReadSlice(end)
		if keep {
			if t.text = append(t.text, part...); len(t.text) > longestTag {
				return errTag
			}
		}
		switch {
		case errors.Is(err, bufio.ErrBufferFull):
			continue
		case err != nil:
			return err
		}
		comment := bytes.HasPrefix(t.text, []byte("!"))
		if !keep || comment || bytes.Count(t.text, []byte{'"'})%2 == 0 && bytes.Count(t.text, []byte{'\''})%2 == 0 {
			return nil
		}
	}
}

// split takes a tag apart: a name, then names with quoted values.
func (t *tagReader) split() {
	text := bytes.TrimRight(t.text, "/>")
	end := bytes.IndexAny(text, " \t\r\n")
	if end < 0 {
		end = len(text)
	}
	t.name, t.attrs = local(text[:end]), t.attrs[:0]
	for text = text[end:]; ; {
		name, rest, ok := bytes.Cut(text, []byte("="))
		rest = bytes.TrimLeft(rest, " \t\r\n")
		if !ok || len(rest) == 0 {
			return
		}
		value, after, ok := bytes.Cut(rest[1:], rest[:1])
		if !ok {
			return
		}
		t.attrs = append(t.attrs, [2][]byte{local(bytes.TrimSpace(name)), value})
		text = after
	}
}

func local(name []byte) []byte { return name[bytes.LastIndexByte(name, ':')+1:] }

// attr gives the value of an attribute; nil of one that is not there.
func (t *tagReader) attr(name string) []byte {
	for _, a := range t.attrs {
		if string(a[0]) == name {
			return a[1]
		}
	}
	return nil
}
