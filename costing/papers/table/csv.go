package table

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/shopspring/decimal"
)

// Cell is one field of a CSV file: text, or a decimal number.
type Cell struct {
	text   string
	number bool
}

// Text is a cell with words in it.
func Text(s string) Cell { return Cell{text: s} }

// Texts is a row of words.
func Texts(words ...string) []Cell {
	out := make([]Cell, len(words))
	for i, w := range words {
		out[i] = Text(w)
	}
	return out
}

// Number is a cell with a decimal number in it, all its places kept: 2.50 stays
// 2.50.
func Number(d decimal.Decimal) Cell {
	return Cell{text: d.StringFixed(max(0, -d.Exponent())), number: true}
}

// Profile is who a CSV file is for, and how it parts fields and decimals.
type Profile uint8

const (
	// Data is for programs: RFC 4180, UTF-8, "." before decimals, fields as
	// they are, quoted where they need it.
	Data Profile = iota
	// Spreadsheet is for people who open the file by a double click: a byte
	// order mark, every field quoted, and text that a spreadsheet would take
	// for a formula kept text by an apostrophe.
	Spreadsheet
	// Semicolon, Tab and DecimalComma are added to one of the others, in the place of
	// commas between fields and points before decimals.
	Semicolon    Profile = 2
	Tab          Profile = 4
	DecimalComma Profile = 8
)

// Marked gives a profile the separator and the decimal mark that a person chose, each
// left as it is where empty.
func (p Profile) Marked(separator, decimal string) (Profile, error) {
	switch separator {
	case "", ",":
	case ";":
		p |= Semicolon
	case "tab", "\t":
		p |= Tab
	default:
		return p, fmt.Errorf("%q separates no fields here; there are , ; and tab", separator)
	}
	switch decimal {
	case "", ".":
	case ",":
		p |= DecimalComma
	default:
		return p, fmt.Errorf("%q is no decimal mark; there are . and ,", decimal)
	}
	if p&DecimalComma != 0 && p.separator() == ',' {
		return p, errors.New("a comma cannot part both fields and decimals; separate fields with ; or tab")
	}
	return p, nil
}

func (p Profile) separator() byte {
	switch {
	case p&Semicolon != 0:
		return ';'
	case p&Tab != 0:
		return '\t'
	}
	return ','
}

// WriteCSV writes rows in a profile. Lines end in CR LF. The error is that of w.
func WriteCSV(w io.Writer, rows [][]Cell, profile Profile) error {
	out := bufio.NewWriter(w)
	if profile&Spreadsheet != 0 {
		out.WriteString("\uFEFF")
	}
	for _, row := range rows {
		for i, c := range row {
			if i > 0 {
				out.WriteByte(profile.separator())
			}
			out.WriteString(c.field(profile, len(row) == 1))
		}
		out.WriteString("\r\n")
	}
	return out.Flush()
}

// field gives the cell as it stands in the file. A field alone in its row is
// quoted when empty, or the row would read as no row.
func (c Cell) field(profile Profile, alone bool) string {
	text, quoted := c.text, strings.ContainsAny(c.text, "\"\r\n"+string(profile.separator())) || alone && c.text == ""
	if c.number && profile&DecimalComma != 0 {
		text = strings.Replace(text, ".", ",", 1)
	}
	if profile&Spreadsheet != 0 {
		quoted = true
		if !c.number && looksLikeFormula(text) {
			text = "'" + text
		}
	}
	if !quoted {
		return text
	}
	return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
}

// looksLikeFormula reports whether a spreadsheet may run a text, or take off its
// first character. A text that begins with an apostrophe counts, so that taking
// one apostrophe off gives every text back.
func looksLikeFormula(s string) bool {
	return s != "" && strings.IndexByte("=+-@\t\r\n\x00'", s[0]) >= 0
}
