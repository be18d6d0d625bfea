package rows

import (
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	dictionary "kerfbook/costing/book/field"
	"kerfbook/costing/text"
)

// between stands between the figures of a range.
const between = ".."

// plain gives what a cell says as the text of the book does. What is no value of the
// column is given as a text, and refused by who reads the record.
func (m mark) plain(c Column, cell string) (string, error) {
	switch c.Shape {
	case text.ShapeRange, text.ShapeSingle, text.ShapeWhole:
		return m.number(c, cell)
	case text.ShapeYesNo:
		at := slices.Index([]string{"yes", "no"}, strings.ToLower(cell))
		if at < 0 {
			return "", errors.New("write yes or no")
		}
		return []string{"true", "false"}[at], nil
	case text.ShapeList, text.ShapeTable:
		return inline(c, cell)
	case text.ShapeRecord:
		if cell != nothing {
			return "", errors.New("what it holds has columns of its own")
		}
		return cell, nil
	}
	return text.Quoted(cell), nil
}

// nothing stands for a record within a record that is there and says nothing.
const nothing = "{}"

// inline reads a list in a cell: as the text of the book has it, or ids and words with
// blanks or commas between them, or one text.
func inline(c Column, cell string) (string, error) {
	if cell[0] != '[' && cell[0] != '{' {
		several := []string{cell}
		switch {
		case c.Entry.Entry == text.ShapeRecord || c.Shape == text.ShapeTable:
			return "", errors.New("write it as the text of the book does, in brackets: " + sample(c))
		case c.Entry.Entry != text.ShapeText:
			several = strings.FieldsFunc(cell, func(r rune) bool { return strings.ContainsRune(" ,;\t\r\n", r) })
		}
		for i, one := range several {
			several[i] = text.Quoted(one)
		}
		cell = "[" + strings.Join(several, ", ") + "]"
	}
	one := alone(c)
	_, err := text.DecodeRecord([]byte(c.Name+": "+cell+"\n"), one.Addr().Interface(), dictionary.Hints{})
	var found *text.Errors
	if errors.As(err, &found) {
		var said []string
		for _, e := range found.List {
			said = append(said, strings.TrimPrefix(strings.TrimPrefix(strings.TrimPrefix(e.Path, c.Name), ".")+": ", ": ")+e.Message)
		}
		return "", errors.New(strings.Join(said, "; "))
	}
	return within(c, one), err
}

// sample is a list with the fields that its entries need.
func sample(c Column) string {
	members, _ := text.Members(c.Leaf)
	var out []string
	for _, m := range members {
		if m.Required {
			out = append(out, m.Name+": …")
		}
	}
	return "[{" + strings.Join(out, ", ") + "}]"
}

// alone is a record with the value of a column alone.
func alone(c Column) reflect.Value {
	return reflect.New(reflect.StructOf([]reflect.StructField{{Name: "Value", Type: c.Type, Tag: reflect.StructTag(`book:"` + c.Name + `"`)}})).Elem()
}

// within writes the one value of a record as it stands in a line of text; empty for none.
func within(c Column, one reflect.Value) string {
	line, _ := text.Line(one.Interface()) // what was read can be written
	return strings.TrimSuffix(strings.TrimPrefix(strings.TrimPrefix(strings.TrimSpace(string(line)), "{"), c.Name+": "), "}")
}

// number reads one figure, or a range with its shape.
func (m mark) number(c Column, cell string) (string, error) {
	if !strings.Contains(cell, between) {
		return m.figure(c, cell)
	}
	words := strings.Fields(cell)
	ends := strings.Split(words[0], between)
	if len(ends) != 3 || len(words) > 3 {
		return "", fmt.Errorf("%q is no range such as 4..5..7, with pert, uniform or normal 0.5 behind it where it is not triangular", bom.Shorten(cell))
	}
	var parts []string
	names := []string{"low", "likely", "high", "sd"}
	for i, end := range append(ends, words[min(2, len(words)):]...) {
		figure, err := m.figure(c, end)
		if err != nil {
			return "", err
		}
		parts = append(parts, names[i]+": "+figure)
	}
	if len(words) > 1 {
		parts = append(parts, "shape: "+text.Quoted(words[1]))
	}
	return "{" + strings.Join(parts, ", ") + "}", nil
}

// cells gives what a record says, by the paths of columns.
func (m mark) cells(columns []Column, v reflect.Value) map[string]string {
	out, filled := map[string]string{}, map[string]bool{}
	for _, c := range slices.Backward(columns) {
		value := c.of(v)
		cell := ""
		switch {
		case !value.IsValid():
		case c.Shape != text.ShapeRecord:
			cell = m.cell(c, reflect.Indirect(value))
		case !filled[c.Path] && (c.Required || value.Kind() == reflect.Pointer && !value.IsNil()):
			cell = nothing
		}
		if cell == "" && !filled[c.Path] {
			continue
		}
		if cell != "" {
			out[c.Path] = cell
		}
		if at := strings.LastIndexByte(c.Path, '.'); at > 0 {
			filled[c.Path[:at]] = true
		}
	}
	return out
}

// cell writes a value as plain reads it.
func (m mark) cell(c Column, v reflect.Value) string {
	if !v.IsValid() || text.IsAbsent(v) && !c.Required {
		return ""
	}
	switch x := v.Interface().(type) {
	case bom.Number:
		return m.numberText(x)
	case decimal.Decimal:
		return m.digits(x)
	case bool:
		return map[bool]string{true: "yes", false: "no"}[x]
	}
	switch {
	case v.Kind() == reflect.Map, v.Kind() == reflect.Slice && (c.Entry.Entry == text.ShapeText || v.Type().Elem().Kind() != reflect.String):
		one := alone(c)
		one.Field(0).Set(v)
		return within(c, one)
	case v.Kind() != reflect.Slice:
		return fmt.Sprint(v.Interface())
	}
	var out []string
	for i := range v.Len() {
		out = append(out, v.Index(i).String())
	}
	return strings.Join(out, " ")
}

func (m mark) numberText(n bom.Number) string {
	switch {
	case n.Missing:
		return ""
	case !n.IsRange:
		return m.digits(n.Likely)
	}
	out := m.digits(n.Low) + between + m.digits(n.Likely) + between + m.digits(n.High)
	if n.Shape != bom.Triangular {
		out += " " + n.Shape.String()
	}
	if n.Shape == bom.Normal {
		out += " " + m.digits(n.SD)
	}
	return out
}

// mark is the decimal mark of the numbers of a file.
type mark string

const (
	point mark = "."
	comma mark = ","
)

var (
	decimalComma = regexp.MustCompile(`^-?[0-9]+,[0-9]+(?: [a-z%]+)?$|^[0-9.,]+ normal [0-9]+,[0-9]+$`)
	// thousands may be parted by what stands before the last three figures.
	thousands = regexp.MustCompile(`^-?[1-9][0-9]{0,2}[.,][0-9]{3}$`)
)

// markOf finds the mark of a file by the columns of numbers: the comma where it stands in
// some number that it cannot part the thousands of, or in a file that does not separate
// fields with it, as spreadsheets write who have a decimal comma.
func (t *table) markOf(known []Column) mark {
	for _, c := range known {
		if c.Shape != text.ShapeRange && c.Shape != text.ShapeSingle && c.Shape != text.ShapeWhole {
			continue
		}
		for _, line := range t.Rows {
			cell, _ := t.cell(line, c.Path)
			for end := range strings.SplitSeq(cell, between) {
				if decimalComma.MatchString(end) && (t.separator != ',' || !thousands.MatchString(end)) {
					return comma
				}
			}
		}
	}
	return point
}

// figure reads a figure with either mark, a share in percent too. One that could be
// another number with its thousands parted is read with the mark of the file alone.
func (m mark) figure(c Column, written string) (string, error) {
	figures, percent := strings.CutSuffix(written, "%")
	figures = strings.TrimSpace(figures)
	if thousands.MatchString(figures) && !strings.Contains(figures, string(m)) {
		return "", fmt.Errorf("%q could be %s or %s; write the one you mean", written,
			strings.NewReplacer(".", "", ",", "").Replace(written), strings.NewReplacer(".", string(m), ",", string(m)).Replace(written))
	}
	if !strings.Contains(figures, ".") {
		figures = strings.Replace(figures, ",", ".", 1)
	}
	d, err := bom.ParseDecimal(figures)
	if err != nil || percent && (c.Unit != "" || c.Shape == text.ShapeWhole) {
		return text.Quoted(written), nil
	}
	if percent {
		d = decimal.NewFromBigInt(d.Coefficient(), d.Exponent()-2)
	}
	return text.Digits(d), nil
}

func (m mark) digits(d decimal.Decimal) string {
	return strings.Replace(text.Digits(d), ".", string(m), 1)
}
