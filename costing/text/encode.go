package text

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"kerfbook/bom"

	"github.com/shopspring/decimal"
)

// lineWidth is the most characters of a line on which a whole record is written.
const lineWidth = 88

// Encode writes a struct, or a pointer to one, as text that Decode reads back to
// the same value. The same value gives the same bytes: fields in the order of
// the struct, keys of maps sorted, absent fields left out unless required.
func Encode(v any) ([]byte, error) {
	value := reflect.ValueOf(v)
	if value.Kind() == reflect.Pointer && !value.IsNil() {
		value = value.Elem()
	}
	if value.Kind() != reflect.Struct {
		return nil, fmt.Errorf("text: cannot write %T, only a struct", v)
	}
	s, err := schemaOf(value.Type())
	if err != nil {
		return nil, err
	}
	e := &encoder{}
	for _, m := range present(s, value) {
		e.field(m.name, m.schema, value.FieldByIndex(m.index), 0)
	}
	if e.err != nil {
		return nil, e.err
	}
	return []byte(e.out.String()), nil
}

// encoder keeps the first error, so that writing needs one check at the end.
type encoder struct {
	out    strings.Builder
	dashes int // of list entries whose first line is still to come
	err    error
}

func (e *encoder) line(indent int, text string) {
	e.out.WriteString(strings.Repeat(" ", indent-2*e.dashes))
	e.out.WriteString(strings.Repeat("- ", e.dashes))
	e.out.WriteString(text)
	e.out.WriteByte('\n')
	e.dashes = 0
}

// present lists the fields that are written.
func present(s *schema, value reflect.Value) []*member {
	var shown []*member
	for i := range s.fields {
		m := &s.fields[i]
		if n, is := value.FieldByIndex(m.index).Interface().(bom.Number); is && n.Missing {
			continue
		}
		if m.required || !IsAbsent(value.FieldByIndex(m.index)) {
			shown = append(shown, m)
		}
	}
	return shown
}

// IsAbsent reports what the text form leaves out.
func IsAbsent(value reflect.Value) bool {
	switch value.Kind() {
	case reflect.Slice, reflect.Map:
		return value.Len() == 0
	}
	return value.IsZero()
}

// field writes "name: value", over as many lines as it takes.
func (e *encoder) field(name string, s *schema, value reflect.Value, indent int) {
	if s.kind == pointer {
		if value.IsNil() {
			e.fail(fmt.Errorf("text: the required field %s is nil", name))
			return
		}
		s, value = s.elem, value.Elem()
	}
	if text, ok := e.onOneLine(s, value, indent+utf8.RuneCountInString(name)+2); ok {
		e.line(indent, name+": "+text)
		return
	}
	e.line(indent, name+":")
	e.block(s, value, indent+2)
}

// block writes what does not fit on a line.
func (e *encoder) block(s *schema, value reflect.Value, indent int) {
	switch s.kind {
	case pointer:
		e.block(s.elem, value.Elem(), indent)
	case ShapeRecord:
		for _, m := range present(s, value) {
			e.field(m.name, m.schema, value.FieldByIndex(m.index), indent)
		}
	case ShapeTable:
		for _, key := range sortedKeys(value) {
			e.field(e.scalar(s.key, key), s.elem, value.MapIndex(key), indent)
		}
	case ShapeList:
		e.entries(s, value, indent)
	}
}

// entries writes a list, all entries on one line each or none.
func (e *encoder) entries(s *schema, value reflect.Value, indent int) {
	lines := make([]string, value.Len())
	short := true
	for i := range lines {
		var ok bool
		lines[i], ok = e.onOneLine(s.elem, value.Index(i), indent+2)
		short = short && ok
	}
	for i, text := range lines {
		e.dashes++
		if short {
			e.line(indent+2, text)
		} else {
			e.block(s.elem, value.Index(i), indent+2)
		}
	}
}

// onOneLine writes a value as it stands behind a name or dash, if its kind and
// length allow.
func (e *encoder) onOneLine(s *schema, value reflect.Value, column int) (string, bool) {
	if !flows(s) && !isEmpty(s, value) {
		return "", false
	}
	text := e.flow(s, value)
	return text, isScalar(s) || isEmpty(s, value) || column+utf8.RuneCountInString(text) <= lineWidth
}

// isEmpty finds records without a field to write, and empty lists and tables,
// which only the one-line form can show.
func isEmpty(s *schema, value reflect.Value) bool {
	switch s.kind {
	case pointer:
		return !value.IsNil() && isEmpty(s.elem, value.Elem())
	case ShapeList, ShapeTable:
		return value.Len() == 0
	case ShapeRecord:
		return len(present(s, value)) == 0
	}
	return false
}

func isScalar(s *schema) bool {
	if s.kind == pointer {
		return isScalar(s.elem)
	}
	return s.kind != ShapeList && s.kind != ShapeTable && s.kind != ShapeRecord
}

// flows reports whether values of a type read well on one line: scalars, tables
// and lists of scalars, records of scalars.
func flows(s *schema) bool {
	switch s.kind {
	case pointer:
		return flows(s.elem)
	case ShapeList:
		return isScalar(s.elem)
	case ShapeTable:
		return isScalar(s.elem) || s.elem.kind == ShapeList && isScalar(s.elem.elem)
	case ShapeRecord:
		return !slices.ContainsFunc(s.fields, func(m member) bool { return !isScalar(m.schema) })
	}
	return true
}

// flow writes a value on one line.
func (e *encoder) flow(s *schema, value reflect.Value) string {
	var parts []string
	switch s.kind {
	case pointer:
		return e.flow(s.elem, value.Elem())
	case ShapeList:
		for i := range value.Len() {
			parts = append(parts, e.flow(s.elem, value.Index(i)))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case ShapeTable:
		for _, key := range sortedKeys(value) {
			parts = append(parts, e.scalar(s.key, key)+": "+e.flow(s.elem, value.MapIndex(key)))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	case ShapeRecord:
		for _, m := range present(s, value) {
			parts = append(parts, m.name+": "+e.flow(m.schema, value.FieldByIndex(m.index)))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return e.scalar(s, value)
}

func (e *encoder) scalar(s *schema, value reflect.Value) string {
	switch s.kind {
	case ShapeYesNo:
		return strconv.FormatBool(value.Bool())
	case ShapeWhole:
		return strconv.FormatInt(value.Int(), 10)
	case ShapeSingle:
		return e.figure(value.Interface().(decimal.Decimal))
	case ShapeRange:
		n := value.Interface().(bom.Number)
		if !n.IsRange {
			return e.figure(n.Likely)
		}
		return e.spreadText(n)
	}
	if s.typ == countryType {
		// NO among bare codes would be the one that is misread.
		return Quoted(value.String())
	}
	text, err := Scalar(value.String())
	e.fail(err)
	return text
}

var countryType = reflect.TypeFor[bom.Country]()

// figure writes a decimal that Decode will read back; one computed with more
// digits has no text form.
func (e *encoder) figure(d decimal.Decimal) string {
	if exponent := d.Exponent(); exponent > bom.MaxDigits || exponent < -bom.MaxDigits {
		e.fail(fmt.Errorf("text: a figure has more than %d digits", bom.MaxDigits))
		return ""
	}
	text := Digits(d)
	if _, err := bom.ParseDecimal(text); err != nil {
		e.fail(fmt.Errorf("text: %w", err))
	}
	return text
}

func (e *encoder) fail(err error) { e.err = cmp.Or(e.err, err) }

func sortedKeys(table reflect.Value) []reflect.Value {
	keys := table.MapKeys()
	slices.SortFunc(keys, func(a, b reflect.Value) int { return cmp.Compare(a.String(), b.String()) })
	return keys
}

// Line writes a struct on one line, which is a text of its own.
func Line(v any) ([]byte, error) {
	s, err := schemaOf(reflect.TypeOf(v))
	if err != nil {
		return nil, err
	}
	e := &encoder{}
	line := e.flow(s, reflect.ValueOf(v))
	return []byte(line + "\n"), e.err
}
