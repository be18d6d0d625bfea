// Package fonts holds the letters that documents are drawn with, and says which
// characters they lack.
package fonts

import (
	_ "embed"
	"encoding/binary"
	"slices"
	"unicode"
)

//go:embed DejaVuSans.ttf
var regular []byte

//go:embed DejaVuSans-Bold.ttf
var bold []byte

// Regular and Bold give the fonts as files; they are read, never changed.
func Regular() []byte { return regular }

// Bold is the font of headings.
func Bold() []byte { return bold }

// Missing lists the characters of a text that a document cannot draw, each once:
// those that a font has no glyph for, and those of scripts that run from right to
// left, which would stand in the wrong order and unjoined. White space and control
// characters draw nothing.
func Missing(text string) []rune {
	var out []rune
	for _, r := range text {
		if !drawn(r) && !slices.Contains(out, r) {
			out = append(out, r)
		}
	}
	return out
}

func drawn(r rune) bool {
	switch {
	case unicode.IsControl(r):
		return true
	case r > 0xFFFD: // the tables below end there, and so does the writer of the PDF
		return false
	case unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko):
		return false
	}
	return glyph(regular, uint16(r)) && glyph(bold, uint16(r))
}

// glyph reports whether a font maps a character to a glyph. It reads the segments
// of the font's table of characters in format 4 (ISO/IEC 14496-22, cmap).
func glyph(font []byte, r uint16) bool {
	table := segments(font)
	count := int(u16(table, 6)) / 2
	ends, starts := table[14:], table[16+2*count:]
	deltas, offsets := table[16+4*count:], table[16+6*count:]
	for i := range count {
		if u16(ends, 2*i) < r {
			continue
		}
		if u16(starts, 2*i) > r {
			return false
		}
		offset := int(u16(offsets, 2*i))
		if offset == 0 {
			return r+u16(deltas, 2*i) != 0
		}
		return u16(offsets, 2*i+offset+2*int(r-u16(starts, 2*i))) != 0
	}
	return false
}

// segments finds the table of characters in format 4; both fonts have one.
func segments(font []byte) []byte {
	for i := range int(u16(font, 4)) {
		record := font[12+16*i:]
		if string(record[:4]) != "cmap" {
			continue
		}
		cmap := font[u32(record, 8):]
		for j := range int(u16(cmap, 2)) {
			if sub := cmap[u32(cmap, 8+8*j):]; u16(sub, 0) == 4 {
				return sub
			}
		}
	}
	return make([]byte, 32) // a font without one draws nothing
}

func u16(b []byte, at int) uint16 { return binary.BigEndian.Uint16(b[at:]) }
func u32(b []byte, at int) uint32 { return binary.BigEndian.Uint32(b[at:]) }
