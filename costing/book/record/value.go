package record

import (
	"errors"
	"fmt"
	"reflect"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/text"
)

var (
	numberType  = reflect.TypeFor[bom.Number]()
	decimalType = reflect.TypeFor[decimal.Decimal]()
)

// SetFigure puts a figure at a path of a record; of a range it is the likely value.
// The record must be one that nobody else holds: lists and pointers of it are
// changed in place.
func SetFigure(record reflect.Value, path string, figure decimal.Decimal) error {
	return at(record, path, func(v reflect.Value) error {
		if v.Kind() == reflect.Pointer {
			if v.IsNil() {
				return errors.New("there is no figure to change")
			}
			v = v.Elem()
		}
		return put(v, figure)
	})
}

// SetText puts a text at a path of a record: a number, a word, a name, names
// separated by commas, yes or no. An empty text takes an optional field away. The
// record must be one that nobody else holds. Bounds of fields are not held here:
// the record is read anew afterwards.
func SetText(record reflect.Value, path, written string) error {
	if path == "" {
		return errNoPlace
	}
	return at(record, path, func(v reflect.Value) error { return putText(v, strings.TrimSpace(written)) })
}

// Remove takes away what stands at a path of a record: an optional field or what is
// described under it, or an entry of a list. What must be there is missed when the
// record is read anew.
func Remove(record reflect.Value, path string) error {
	way, err := text.Steps(path)
	if err != nil || len(way) == 0 {
		return errNoPlace
	}
	last := way[len(way)-1]
	if last.Index < 0 {
		return follow(record, way, func(v reflect.Value) error {
			if v.Kind() == reflect.Pointer || v.Kind() == reflect.Slice || v.Kind() == reflect.Map {
				v.SetZero()
				return nil
			}
			return putText(v, "")
		})
	}
	return follow(record, way[:len(way)-1], func(v reflect.Value) error {
		if v.Kind() != reflect.Slice || last.Index >= v.Len() {
			return errNoPlace
		}
		v.Set(reflect.AppendSlice(v.Slice3(0, last.Index, last.Index), v.Slice(last.Index+1, v.Len())))
		return nil
	})
}

// Entry names the entry of a list that a path leads to or into, such as 20 mill, FINS;
// empty for a path without lists.
func Entry(record reflect.Value, path string) string {
	var names []string
	way, _ := text.Steps(path) // a path that cannot be read leads to no entry
	for i, s := range way {
		if s.Index < 0 {
			continue
		}
		var words []string
		_ = follow(record, way[:i+1], func(v reflect.Value) error { // what is not there has no name
			if v = reflect.Indirect(v); v.Kind() != reflect.Struct {
				return nil
			}
			for _, name := range []string{"number", "id", "position", "part", "from", "name"} {
				if said := textOf(Field(v, name)); said != "" && len(words) < 2 {
					words = append(words, said)
				}
			}
			return nil
		})
		names = append(names, strings.Join(words, " "))
	}
	return strings.Join(names, ", ")
}

// Text gives the text of a field as SetText takes it; empty for one that is not
// there. It is what a change of the field would replace.
func Text(record reflect.Value, path string) (out string) {
	_ = at(record, path, func(v reflect.Value) error { // a place that is not there has no text
		out = textOf(v)
		return nil
	})
	return out
}

// textOf is the text of a value; empty for one that is not there.
func textOf(v reflect.Value) string {
	if v = reflect.Indirect(v); !v.IsValid() {
		return ""
	}
	return written(v)
}

// Number finds the number at a path of a record, such as routing[0].yield.
func Number(record reflect.Value, path string) (n bom.Number, ok bool) {
	_ = at(record, path, func(v reflect.Value) error {
		if v = reflect.Indirect(v); !v.IsValid() {
			return nil
		}
		switch x := v.Interface().(type) {
		case bom.Number:
			n, ok = x, true
		case int:
			n, ok = bom.Whole(int64(x)), true
		}
		return nil
	})
	return n, ok
}

var errNoPlace = errors.New("there is no such place in the record")

// at does something with the value at a path. Lists are not made longer, and
// records that are not there are not begun.
func at(record reflect.Value, path string, do func(reflect.Value) error) error {
	way, err := text.Steps(path)
	if err != nil {
		return fmt.Errorf("%q is no place in a record: %w", path, err)
	}
	return follow(record, way, do)
}

func follow(v reflect.Value, way []text.Step, do func(reflect.Value) error) error {
	if len(way) == 0 {
		return do(v)
	}
	next := way[0]
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return fmt.Errorf("what %s would belong to is not there; add it to the record first", next.Name)
		}
		v = v.Elem()
	}
	switch {
	case v.Type() == numberType || v.Type() == decimalType:
		return fmt.Errorf("there is no %s in a figure", next.Name)
	case v.Kind() == reflect.Struct && next.Index < 0:
		if field := Field(v, next.Name); field.IsValid() {
			return follow(field, way[1:], do)
		}
	case v.Kind() == reflect.Slice && next.Index >= 0 && next.Index < v.Len():
		return follow(v.Index(next.Index), way[1:], do)
	case v.Kind() == reflect.Map && next.Index < 0:
		return followTable(v, way, do)
	}
	return errNoPlace
}

// followTable goes on with a copy of an entry of a table, which cannot be changed
// in place, and puts it back.
func followTable(v reflect.Value, way []text.Step, do func(reflect.Value) error) error {
	key := reflect.ValueOf(way[0].Name).Convert(v.Type().Key())
	found := v.MapIndex(key)
	if !found.IsValid() {
		return fmt.Errorf("there is no entry %s", way[0].Name)
	}
	entry := reflect.New(found.Type()).Elem()
	entry.Set(found)
	if err := follow(entry, way[1:], do); err != nil {
		return err
	}
	if !reflect.DeepEqual(entry.Interface(), found.Interface()) { // a record that is only read is left alone
		v.SetMapIndex(key, entry)
	}
	return nil
}

// put sets a figure; of a range it is the likely value.
func put(v reflect.Value, figure decimal.Decimal) error {
	switch {
	case v.Type() == numberType:
		n, err := likely(v.Interface().(bom.Number), figure)
		if err != nil {
			return err
		}
		v.Set(reflect.ValueOf(n))
	case v.Type() == decimalType:
		v.Set(reflect.ValueOf(figure))
	case v.CanInt():
		if !figure.IsInteger() || v.OverflowInt(figure.IntPart()) {
			return fmt.Errorf("%s must be a whole number", figure)
		}
		v.SetInt(figure.IntPart())
	default:
		return errors.New("this is no figure")
	}
	return nil
}

// likely gives a number with another figure. A range keeps its ends and its shape.
func likely(n bom.Number, figure decimal.Decimal) (bom.Number, error) {
	if !n.IsRange {
		return bom.Exactly(figure), nil
	}
	if figure.LessThan(n.Low) || figure.GreaterThan(n.High) {
		return n, fmt.Errorf("%s lies outside the estimate, which is between %s and %s; change its ends in the record first",
			text.Digits(figure), text.Digits(n.Low), text.Digits(n.High))
	}
	n.Likely = figure
	return n, nil
}

// putText sets a field that holds one value.
func putText(v reflect.Value, written string) error {
	switch {
	case v.Kind() == reflect.Pointer && v.Type().Elem() == numberType:
		if written == "" {
			v.SetZero()
			return nil
		}
		n := reflect.New(numberType)
		if !v.IsNil() {
			n.Elem().Set(v.Elem())
		}
		if err := putText(n.Elem(), written); err != nil {
			return err
		}
		v.Set(n)
		return nil
	case v.Type() == numberType, v.Type() == decimalType, v.CanInt():
		d, err := bom.ParseDecimal(written)
		if err != nil {
			return err
		}
		return put(v, d)
	case v.Kind() == reflect.String:
		v.SetString(written)
		return nil
	case v.Kind() == reflect.Bool:
		return putTruth(v, written)
	case v.Kind() == reflect.Slice && v.Type().Elem().Kind() == reflect.String:
		putNames(v, written)
		return nil
	}
	return errors.New("this is more than one value; edit the record")
}

func putTruth(v reflect.Value, written string) error {
	switch strings.ToLower(written) {
	case "yes", "true":
		v.SetBool(true)
	case "no", "false", "":
		v.SetBool(false)
	default:
		return fmt.Errorf("%q is neither yes nor no", bom.Shorten(written))
	}
	return nil
}

func putNames(v reflect.Value, written string) {
	list := reflect.MakeSlice(v.Type(), 0, 4)
	for name := range strings.SplitSeq(written, ",") {
		if name = strings.TrimSpace(name); name != "" {
			list = reflect.Append(list, reflect.ValueOf(name).Convert(v.Type().Elem()))
		}
	}
	v.Set(list)
}

// written is the text of a value.
func written(v reflect.Value) string {
	switch x := v.Interface().(type) {
	case bom.Number:
		return text.Digits(x.Likely)
	case decimal.Decimal:
		return text.Digits(x)
	case bool:
		if x {
			return "yes"
		}
		return "no"
	}
	switch {
	case v.Kind() == reflect.Struct, v.Kind() == reflect.Map, v.Kind() == reflect.Slice && v.Type().Elem().Kind() != reflect.String:
		return "" // more than one value
	case v.Kind() != reflect.Slice:
		return fmt.Sprint(v.Interface())
	}
	var names []string
	for i := range v.Len() {
		names = append(names, v.Index(i).String())
	}
	return strings.Join(names, ", ")
}
