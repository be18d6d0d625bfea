package worktable

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

// sheet is a file taken apart.
type sheet struct {
	heads     []string
	rows      []row
	separator rune
}

// row is a line of the file with its cells.
type row struct {
	line  int
	cells []string
}

// split takes a file apart, whichever of comma, semicolon and tab it uses.
func split(data []byte) (sheet, error) {
	whole := func(message string) (sheet, error) { return sheet{}, &Errors{List: []Error{{Message: message}}} }
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
	out := sheet{separator: separator(data)}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord, r.Comma = -1, out.separator
	for {
		cells, err := r.Read()
		if err == io.EOF {
			return out, nil
		}
		var malformed *csv.ParseError
		if errors.As(err, &malformed) {
			return sheet{}, &Errors{List: []Error{{Line: malformed.Line, Message: "the quotes of this line do not match: " + malformed.Err.Error()}}}
		}
		if err != nil {
			return whole(err.Error())
		}
		line, _ := r.FieldPos(0)
		if out.heads == nil {
			out.heads = tidy(cells)
			continue
		}
		if cells = tidy(cells); !blank(cells) {
			out.rows = append(out.rows, row{line, cells})
		}
		if len(out.rows) > maxRows || len(out.heads) > maxColumns {
			return whole("the table has more than 5000 rows or 200 columns")
		}
	}
}

// separator is what stands more often in the first line.
func separator(data []byte) rune {
	first, _, _ := bytes.Cut(data, []byte("\n"))
	most := ','
	for _, r := range ";\t" {
		if bytes.Count(first, []byte(string(r))) > bytes.Count(first, []byte(string(most))) {
			most = r
		}
	}
	return most
}

// tidy takes blanks off cells, and the apostrophe by which a spreadsheet is kept
// from running a text.
func tidy(cells []string) []string {
	out := slices.Clone(cells)
	for i, c := range out {
		c = strings.TrimSpace(c)
		if len(c) > 1 && c[0] == '\'' && strings.IndexByte("=+-@\t\r\n\x00'", c[1]) >= 0 {
			c = c[1:]
		}
		out[i] = c
	}
	return out
}

func blank(cells []string) bool {
	return !slices.ContainsFunc(cells, func(c string) bool { return c != "" })
}
