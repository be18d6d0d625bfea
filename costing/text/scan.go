package text

import (
	"bytes"
	"fmt"
	"unicode"
	"unicode/utf8"
)

// Limits of a text. They are checked before it is parsed, in one pass over the
// bytes, so that no text can keep the parser busy for long.
const (
	// MaxBytes is the largest text.
	MaxBytes = 16 << 20
	// MaxMarks is the most line ends, colons, commas and opening brackets. Each
	// costs the parser up to 1.5 µs and some 200 bytes, so that the worst text takes it
	// 1.5 s and 200 MB. A part with five operations has about 200, a bought one 10; the
	// 10,000 parts of a whole shop have half as many as are read.
	MaxMarks = 1_000_000
	// MaxRun is the most bytes between two marks; a text of MaxText characters
	// stays far below it, however it is escaped.
	MaxRun = 16 << 10
	// MaxDepth is the deepest nesting.
	MaxDepth = 32
)

var byteOrderMark = []byte("\xEF\xBB\xBF")

// marks are the bytes a text needs to hold one more value or line.
var marks = [256]bool{'\n': true, '\r': true, ':': true, ',': true, '[': true, '{': true}

// scan takes off a byte order mark and refuses texts that are too large or hold
// bytes that do not belong in a text.
func scan(data []byte) ([]byte, *Error) {
	if len(data) > MaxBytes {
		return nil, &Error{1, 1, "", fmt.Sprintf("the text has %d bytes; at most %d (%d MiB) are read; take out the parts, offers and prices that are used no more", len(data), MaxBytes, MaxBytes>>20)}
	}
	data = bytes.TrimPrefix(data, byteOrderMark)
	count, run := 0, 0 // marks so far, and where the last one ended
	for i := 0; i < len(data); {
		c := data[i]
		size, at, reason := 1, i, ""
		switch {
		case marks[c]:
			count, run = count+1, i+1
		case c < ' ' || c >= utf8.RuneSelf-1:
			size, reason = unusual(data[i:])
		}
		switch {
		case count > MaxMarks:
			reason = fmt.Sprintf("the text holds more than %d lines and values; take out the parts, offers and prices that are used no more", MaxMarks)
		case i-run > MaxRun:
			at = run + bytes.IndexFunc(data[run:], func(r rune) bool { return r != ' ' && r != '\t' })
			reason = fmt.Sprintf("more than %d bytes begin here without a line end, colon or comma; no name, figure or text is that long", MaxRun)
		}
		if reason != "" {
			place := positionAt(data, max(at, run))
			return nil, &Error{place.Line, place.Column, "", reason}
		}
		i += size
	}
	return data, nil
}

// Marks counts what a text holds of what [MaxMarks] limits.
func Marks(data []byte) (count int) {
	for _, c := range data {
		if marks[c] {
			count++
		}
	}
	return count
}

// unusual looks at a character outside printable ASCII: its size and, if it may
// not stand in a text, why.
func unusual(data []byte) (size int, reason string) {
	r, size := utf8.DecodeRune(data)
	switch {
	case r == utf8.RuneError && size == 1:
		return size, "this byte is not UTF-8; save the file as UTF-8"
	case r == 0:
		return size, "a NUL byte; save the file as plain text in UTF-8"
	case r == '\n', r == '\r', r == '\t':
		return size, ""
	case r == '\u2028', r == '\u2029', r == '\uFEFF', unicode.IsControl(r):
		return size, fmt.Sprintf("the character %U cannot be seen; delete it", r)
	}
	return size, ""
}

// positionAt counts lines as the parser does: \n, \r\n and \r end one.
func positionAt(data []byte, offset int) Position {
	before := bytes.ReplaceAll(data[:offset], []byte("\r\n"), []byte("\n"))
	before = bytes.ReplaceAll(before, []byte("\r"), []byte("\n"))
	line := before[bytes.LastIndexByte(before, '\n')+1:]
	return Position{bytes.Count(before, []byte("\n")) + 1, utf8.RuneCount(line) + 1}
}
