package recalctest

// NamedCell is one named cell of a workbook.
type NamedCell struct {
	Formula string // without "="; "" for a cell that holds a value
	Value   string // the number in the file, or the cached result
	Locked  bool   // cannot be edited while the sheet is protected
	Sheet   string // name of the sheet
}

// Inspect lists the named cells of a workbook by name.
func Inspect(file []byte) (map[string]NamedCell, error) {
	x, err := readIndex(file)
	if err != nil {
		return nil, err
	}
	locks, err := lockedStyles(file)
	if err != nil {
		return nil, err
	}
	sheets := map[string]map[string]cellXML{}
	titles := map[string]string{}
	for title, entry := range x.entries {
		titles[entry] = title
		if sheets[entry], err = cells(file, entry); err != nil {
			return nil, err
		}
	}
	out := make(map[string]NamedCell, len(x.names))
	for name, at := range x.names {
		c := sheets[at.entry][at.ref]
		n := NamedCell{Value: c.value(), Locked: c.Style >= len(locks) || locks[c.Style], Sheet: titles[at.entry]}
		if c.Formula != nil {
			n.Formula = *c.Formula
		}
		out[name] = n
	}
	return out, nil
}

type stylesXML struct {
	Styles []struct {
		Protection *struct {
			Locked string `xml:"locked,attr"`
		} `xml:"protection"`
	} `xml:"cellXfs>xf"`
}

// lockedStyles says of each cell style whether it locks the cell; cells are
// locked unless a style says otherwise.
func lockedStyles(file []byte) ([]bool, error) {
	var s stylesXML
	if err := decode(file, "xl/styles.xml", &s); err != nil {
		return nil, err
	}
	out := make([]bool, len(s.Styles))
	for i, xf := range s.Styles {
		out[i] = xf.Protection == nil || xf.Protection.Locked == "" || xf.Protection.Locked == "1" || xf.Protection.Locked == "true"
	}
	return out, nil
}
