package text

import (
	"fmt"
	"reflect"
	"strings"
	"sync"

	"kerfbook/bom"

	"github.com/shopspring/decimal"
)

// TextChecker is a string type with a rule of form of its own. Quoted says
// whether the text stood in quotes, since some readers of YAML take bare words
// for something else.
type TextChecker interface {
	CheckText(text string, quoted bool) error
}

// Words is a string type that takes one of a few words.
type Words interface {
	Values() []string
}

// Kinds of value that are told as what they hold.
const (
	pointer Shape = "pointer"
	checked Shape = "text with a rule"
)

// schema is what a Go type expects of a text.
type schema struct {
	kind   Shape // of a number ShapeRange, whatever its bounds
	typ    reflect.Type
	elem   *schema
	key    *schema
	fields []member
	names  []string // of the fields
	listed func() []Member
}

// member is one field of a record.
type member struct {
	name     string
	former   string // name that earlier texts have, still read
	index    []int  // one more where the struct it stands in is embedded
	required bool
	limits   limits
	schema   *schema
}

var (
	checkerType = reflect.TypeFor[TextChecker]()
	wordsType   = reflect.TypeFor[Words]()
	scalarTypes = map[reflect.Type]Shape{
		reflect.TypeFor[bom.Number]():      ShapeRange,
		reflect.TypeFor[decimal.Decimal](): ShapeSingle,
		reflect.TypeFor[bom.Date]():        ShapeDay,
		reflect.TypeFor[bom.ID]():          ShapeID,
	}
)

// schemas are those that were asked for, by their types, which never change.
var schemas sync.Map

func schemaOf(t reflect.Type) (*schema, error) {
	if s, ok := schemas.Load(t); ok {
		return s.(*schema), nil
	}
	s, err := compiler{}.compile(t)
	if err == nil {
		schemas.Store(t, s)
	}
	return s, err
}

// compiler turns types into schemas, each type once.
type compiler map[reflect.Type]*schema

func (c compiler) compile(t reflect.Type) (*schema, error) {
	if s, ok := c[t]; ok {
		return s, nil
	}
	s := &schema{typ: t}
	s.listed = sync.OnceValue(s.members)
	c[t] = s
	if k, ok := scalarKind(t); ok {
		s.kind = k
		return s, nil
	}
	var err error
	switch t.Kind() {
	case reflect.Pointer:
		s.kind = pointer
		s.elem, err = c.compile(t.Elem())
	case reflect.Slice:
		s.kind = ShapeList
		s.elem, err = c.compile(t.Elem())
	case reflect.Map:
		err = c.table(s, t)
	case reflect.Struct:
		err = c.record(s, t)
	default:
		err = fmt.Errorf("text: %s has no text form", t)
	}
	return s, err
}

func scalarKind(t reflect.Type) (Shape, bool) {
	if k, ok := scalarTypes[t]; ok {
		return k, true
	}
	switch t.Kind() {
	case reflect.String:
		switch {
		case t.Implements(checkerType):
			return checked, true
		case t.Implements(wordsType):
			return ShapeWord, true
		}
		return ShapeText, true
	case reflect.Bool:
		return ShapeYesNo, true
	case reflect.Int, reflect.Int32, reflect.Int64:
		return ShapeWhole, true
	}
	return "", false
}

func (c compiler) table(s *schema, t reflect.Type) (err error) {
	if t.Key().Kind() != reflect.String {
		return fmt.Errorf("text: the keys of %s have no text form", t)
	}
	s.kind = ShapeTable
	if s.key, err = c.compile(t.Key()); err != nil {
		return err
	}
	s.elem, err = c.compile(t.Elem())
	return err
}

func (c compiler) record(s *schema, t reflect.Type) error {
	s.kind = ShapeRecord
	for i := range t.NumField() {
		tag, ok := t.Field(i).Tag.Lookup("book")
		if !ok && t.Field(i).Anonymous {
			if err := c.embedded(s, t.Field(i).Type, i); err != nil {
				return err
			}
		}
		if !ok || tag == "-" {
			continue
		}
		f, err := parseTag(tag)
		if err != nil {
			return fmt.Errorf("text: field %s of %s: %w", t.Field(i).Name, t, err)
		}
		f.index = []int{i}
		if f.schema, err = c.compile(t.Field(i).Type); err != nil {
			return err
		}
		s.fields = append(s.fields, f)
		s.names = append(s.names, f.name)
	}
	return nil
}

// embedded adds the fields of a struct within another to that one's.
func (c compiler) embedded(s *schema, t reflect.Type, at int) error {
	inner := &schema{}
	if t.Kind() == reflect.Struct {
		if err := c.record(inner, t); err != nil {
			return err
		}
	}
	for _, f := range inner.fields {
		f.index = append([]int{at}, f.index...)
		s.fields, s.names = append(s.fields, f), append(s.names, f.name)
	}
	return nil
}

func parseTag(tag string) (member, error) {
	name, options, _ := strings.Cut(tag, ",")
	f := member{name: name}
	if name == "" {
		return f, fmt.Errorf("the tag %q names no field", tag)
	}
	for option := range strings.SplitSeq(options, ",") {
		switch {
		case option == "":
		case option == "required":
			f.required = true
		case strings.HasPrefix(option, "was="):
			f.former = strings.TrimPrefix(option, "was=")
		default:
			known, err := f.limits.set(option)
			if err != nil {
				return f, err
			}
			if !known {
				return f, fmt.Errorf("unknown option %q", option)
			}
		}
	}
	return f, nil
}

// limits are the bounds a tag sets for a figure.
type limits struct {
	lower, upper *Bound
	whole        bool // no fraction, and no range
	single       bool // no range
}

// set takes one option of a tag; it reports whether it is a bound.
func (l *limits) set(option string) (bool, error) {
	name, text, _ := strings.Cut(option, "=")
	switch option {
	case "whole":
		l.whole = true
		return true, nil
	case "single":
		l.single = true
		return true, nil
	}
	lower, upper := name == "min" || name == "over", name == "max" || name == "under"
	if !lower && !upper {
		return false, nil
	}
	figure, err := bom.ParseDecimal(text)
	if err != nil {
		return true, fmt.Errorf("option %s: %w", name, err)
	}
	if lower {
		l.lower = &Bound{figure, name == "over"}
	} else {
		l.upper = &Bound{figure, name == "under"}
	}
	return true, nil
}

// breach says which bound a figure breaks, "" if none.
func (l limits) breach(figure decimal.Decimal) string {
	text := Digits(figure)
	if l.lower != nil {
		switch order := figure.Cmp(l.lower.Value); {
		case order < 0 && !l.lower.Open:
			return fmt.Sprintf("%s is too small; it must be %s or more", text, l.lower.Value)
		case order <= 0 && l.lower.Open:
			return fmt.Sprintf("%s is too small; it must be more than %s", text, l.lower.Value)
		}
	}
	if l.upper != nil {
		switch order := figure.Cmp(l.upper.Value); {
		case order > 0 && !l.upper.Open:
			return fmt.Sprintf("%s is too large; it must be %s or less", text, l.upper.Value)
		case order >= 0 && l.upper.Open:
			return fmt.Sprintf("%s is too large; it must be less than %s", text, l.upper.Value)
		}
	}
	if l.whole && !figure.IsInteger() {
		return fmt.Sprintf("%s must be a whole number", text)
	}
	return ""
}

// Digits writes a decimal with the places it was typed with: 12.50 stays
// 12.50.
func Digits(d decimal.Decimal) string { return d.StringFixed(max(0, -d.Exponent())) }
