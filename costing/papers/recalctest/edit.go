package recalctest

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"regexp"
)

// Edit gives a workbook with one number changed, in the cell with a name. value
// is a decimal number. Only the sheet of the cell is rewritten, as bytes.
func Edit(file []byte, name, value string) ([]byte, error) {
	at, err := find(file, name)
	if err != nil {
		return nil, err
	}
	edit := func(sheet []byte) ([]byte, error) { return setNumber(sheet, at.ref, value) }
	return rewrite(file, func(entry string) func([]byte) ([]byte, error) {
		if entry == at.entry {
			return edit
		}
		return nil
	})
}

var plainNumber = regexp.MustCompile(`^-?[0-9]+(\.[0-9]+)?$`)

// setNumber replaces the number between <v> and </v> of one cell.
func setNumber(sheet []byte, ref, value string) ([]byte, error) {
	if !plainNumber.MatchString(value) {
		return nil, fmt.Errorf("%q is not a number", value)
	}
	start := bytes.Index(sheet, []byte(`<c r="`+ref+`"`))
	if start < 0 {
		return nil, fmt.Errorf("no cell %s", ref)
	}
	end := start + bytes.Index(sheet[start:], []byte("</c>"))
	cell := sheet[start:max(start, end)]
	from, to := bytes.Index(cell, []byte("<v>")), bytes.Index(cell, []byte("</v>"))
	if from < 0 || bytes.Contains(cell, []byte("<f")) {
		return nil, fmt.Errorf("cell %s holds no number", ref)
	}
	out := make([]byte, 0, len(sheet)+len(value))
	out = append(out, sheet[:start+from+len("<v>")]...)
	out = append(out, value...)
	return append(out, sheet[start+to:]...), nil
}

// find gives the place of a name. Decoding the list of names would cost more
// than the edit, so the name is searched for as bytes.
func find(file []byte, name string) (place, error) {
	book, err := read(file, "xl/workbook.xml")
	if err != nil {
		return place{}, err
	}
	_, rest, ok := bytes.Cut(book, []byte(`<definedName name="`+name+`">`))
	to, _, closed := bytes.Cut(rest, []byte("<"))
	if !ok || !closed {
		return place{}, fmt.Errorf("no name %s", name)
	}
	to = bytes.ReplaceAll(to, []byte("&#39;"), []byte("'"))
	var sheets workbookXML
	before, _, _ := bytes.Cut(book, []byte("<definedNames>"))
	if err := xml.Unmarshal(append(bytes.Clone(before), "</workbook>"...), &sheets); err != nil {
		return place{}, err
	}
	x, err := sheets.index(file)
	if err != nil {
		return place{}, err
	}
	at, ok := x.cell(string(to))
	if !ok {
		return place{}, fmt.Errorf("%s is not one cell but %s", name, to)
	}
	return at, nil
}
