package recalctest

import (
	"encoding/xml"
	"fmt"
	"path"
	"strings"
)

// index finds the sheets and the named cells of a workbook.
type index struct {
	entries map[string]string // archive entry by sheet name
	names   map[string]place
}

// place is one cell.
type place struct{ entry, ref string }

type workbookXML struct {
	Sheets []struct {
		Name string `xml:"name,attr"`
		ID   string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
	} `xml:"sheets>sheet"`
	Names []struct {
		Name string `xml:"name,attr"`
		To   string `xml:",chardata"`
	} `xml:"definedNames>definedName"`
}

type relationsXML struct {
	Relations []struct {
		ID     string `xml:"Id,attr"`
		Target string `xml:"Target,attr"`
	} `xml:"Relationship"`
}

func decode(file []byte, entry string, into any) error {
	data, err := read(file, entry)
	if err != nil {
		return err
	}
	if err := xml.Unmarshal(data, into); err != nil {
		return fmt.Errorf("workbook entry %s: %w", entry, err)
	}
	return nil
}

// readIndex reads where sheets and names are. Names of more than one cell are
// left out.
func readIndex(file []byte) (*index, error) {
	var book workbookXML
	if err := decode(file, "xl/workbook.xml", &book); err != nil {
		return nil, err
	}
	var rels relationsXML
	if err := decode(file, "xl/_rels/workbook.xml.rels", &rels); err != nil {
		return nil, err
	}
	targets := map[string]string{}
	for _, r := range rels.Relations {
		targets[r.ID] = path.Join("xl", strings.TrimPrefix(r.Target, "/xl/"))
	}
	x := &index{entries: map[string]string{}, names: map[string]place{}}
	for _, s := range book.Sheets {
		x.entries[s.Name] = targets[s.ID]
	}
	for _, n := range book.Names {
		if at, ok := x.cell(n.To); ok {
			x.names[n.Name] = at
		}
	}
	return x, nil
}

// cell reads a reference such as 'part'!$B$7.
func (x *index) cell(to string) (place, bool) {
	at := strings.LastIndexByte(to, '!')
	if at < 0 || strings.ContainsAny(to[at:], ":,") {
		return place{}, false
	}
	sheet, ref := to[:at], to[at+1:]
	if len(sheet) > 1 && sheet[0] == '\'' {
		sheet = strings.ReplaceAll(sheet[1:len(sheet)-1], "''", "'")
	}
	entry, ok := x.entries[strings.TrimPrefix(sheet, "$")]
	return place{entry, strings.ReplaceAll(ref, "$", "")}, ok
}

// sheetXML holds the cells of one sheet.
type sheetXML struct {
	Cells []cellXML `xml:"sheetData>row>c"`
}

type cellXML struct {
	Ref     string  `xml:"r,attr"`
	Type    string  `xml:"t,attr"`
	Style   int     `xml:"s,attr"`
	Formula *string `xml:"f"`
	Value   string  `xml:"v"`
}

// cells reads the cells of an entry by reference.
func cells(file []byte, entry string) (map[string]cellXML, error) {
	var s sheetXML
	if err := decode(file, entry, &s); err != nil {
		return nil, err
	}
	out := make(map[string]cellXML, len(s.Cells))
	for _, c := range s.Cells {
		out[c.Ref] = c
	}
	return out, nil
}

// value is what a cell shows, before any number format; a text, which no named cell
// should hold, is an error.
func (c *cellXML) value() string {
	if c.Type == "s" || c.Type == "inlineStr" || c.Type == "str" && c.Value != "" {
		return "#text"
	}
	return c.Value
}
