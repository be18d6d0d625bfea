package rows

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// Limits of a file.
const (
	MaxBytes   = 1 << 20
	maxRows    = 5000
	maxColumns = 200
)

// Sheet is a table taken apart.
type Sheet struct {
	Heads     []string
	Rows      []Row
	separator rune
}

// Row is a line of the table with its cells.
type Row struct {
	Line  int
	Cells []string
}

// Column is the place of the column of a name; -1 where there is none.
func (s Sheet) Column(name string) int { return slices.Index(s.Heads, name) }

// Split takes a table apart, whichever of comma, semicolon and tab it uses.
func Split(data []byte) (Sheet, error) {
	whole := func(message string) (Sheet, error) { return Sheet{}, &Errors{List: []Error{{Message: message}}} }
	switch {
	case len(data) > MaxBytes:
		return whole("the file is larger than one MiB")
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}) || bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		return whole("the file is written in UTF-16; save it as CSV in UTF-8")
	}
	data = bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF"))
	if !utf8.Valid(data) {
		return whole("the file is not written in UTF-8; save it as CSV in UTF-8")
	}
	if len(bytes.TrimSpace(data)) == 0 {
		return whole("the file is empty; its first line names the columns")
	}
	out := Sheet{separator: separator(data)}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord, r.Comma = -1, out.separator
	for {
		cells, err := r.Read()
		if err == io.EOF {
			return out, nil
		}
		var malformed *csv.ParseError
		if errors.As(err, &malformed) {
			return Sheet{}, &Errors{List: []Error{{Line: malformed.Line, Message: "the quotes of this line do not match: " + malformed.Err.Error()}}}
		}
		if err != nil {
			return whole(err.Error())
		}
		line, _ := r.FieldPos(0)
		if out.Heads == nil {
			out.Heads = tidy(cells)
			continue
		}
		if cells = tidy(cells); slices.ContainsFunc(cells, func(c string) bool { return c != "" }) {
			out.Rows = append(out.Rows, Row{line, cells})
		}
		if len(out.Rows) > maxRows || len(out.Heads) > maxColumns {
			return whole("the table has more than 5000 rows or 200 columns")
		}
	}
}

// separator is what parts the first line: a tab or a semicolon where one stands there
// outside quotes, since what people call columns may have commas.
func separator(data []byte) rune {
	first, _, _ := bytes.Cut(data, []byte("\n"))
	quoted, found := false, ','
	for _, r := range string(first) {
		switch {
		case r == '"':
			quoted = !quoted
		case !quoted && (r == '\t' || r == ';' && found == ','):
			found = r
		}
	}
	return found
}

// tidy takes blanks off cells, and the apostrophe by which a spreadsheet is kept
// from running a text.
func tidy(cells []string) []string {
	out := slices.Clone(cells)
	for i, c := range out {
		if c = strings.TrimSpace(c); guarded(c) {
			c = c[1:]
		}
		out[i] = c
	}
	return out
}

// guarded reports a text that begins with such an apostrophe.
func guarded(cell string) bool {
	return len(cell) > 1 && cell[0] == '\'' && strings.IndexByte("=+-@\t\r\n\x00'", cell[1]) >= 0
}

// Bare gives a cell as it stands where nothing is kept from running: a text of its own that
// looks kept has one apostrophe more, which reading takes off.
func Bare(cell string) string {
	if guarded(cell) {
		return "'" + cell
	}
	return cell
}
