package service

import (
	"fmt"
	"reflect"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

// setField puts a text at a path of a record: a number, a word, a name, names
// separated by commas, yes or no. An empty text takes an optional field away. The
// record must be one that nobody else holds. Bounds of fields are not held here:
// the record is read anew afterwards.
func setField(record reflect.Value, path, text string) error {
	way, err := steps(path)
	if err != nil || len(way) == 0 {
		return fmt.Errorf("there is no such place in the record")
	}
	at, err := fieldAt(record, way)
	if err != nil {
		return err
	}
	return putText(at, strings.TrimSpace(text))
}

// fieldAt follows a way to a field that can be set. Lists are not made longer, and
// records that are not there are not begun.
func fieldAt(v reflect.Value, way []step) (reflect.Value, error) {
	for _, next := range way {
		if v.Kind() == reflect.Pointer {
			if v.IsNil() {
				return v, fmt.Errorf("what %s would belong to is not there; add it to the record first", next.name)
			}
			v = v.Elem()
		}
		switch {
		case v.Type() == numberType:
			return v, fmt.Errorf("there is no such place in the record")
		case v.Kind() == reflect.Struct && next.index < 0 && memberOf(v.Type(), next.name) >= 0:
			v = v.Field(memberOf(v.Type(), next.name))
		case v.Kind() == reflect.Slice && next.index >= 0 && next.index < v.Len():
			v = v.Index(next.index)
		default:
			return v, fmt.Errorf("there is no such place in the record")
		}
	}
	return v, nil
}

// putText sets a field that holds one value.
func putText(v reflect.Value, text string) error {
	switch {
	case v.Kind() == reflect.Pointer && v.Type().Elem() == numberType:
		if text == "" {
			v.SetZero()
			return nil
		}
		n := reflect.New(numberType)
		if !v.IsNil() {
			n.Elem().Set(v.Elem())
		}
		if err := putText(n.Elem(), text); err != nil {
			return err
		}
		v.Set(n)
		return nil
	case v.Type() == numberType, v.Type() == decimalType, v.CanInt():
		d, err := bom.ParseDecimal(text)
		if err != nil {
			return err
		}
		return put(v, d)
	case v.Kind() == reflect.String:
		v.SetString(text)
		return nil
	case v.Kind() == reflect.Bool:
		return putTruth(v, text)
	case v.Kind() == reflect.Slice && v.Type().Elem().Kind() == reflect.String:
		putNames(v, text)
		return nil
	}
	return fmt.Errorf("this is more than one value; edit the record")
}

func putTruth(v reflect.Value, text string) error {
	switch strings.ToLower(text) {
	case "yes", "true":
		v.SetBool(true)
	case "no", "false", "":
		v.SetBool(false)
	default:
		return fmt.Errorf("%q is neither yes nor no", shortened(text))
	}
	return nil
}

func putNames(v reflect.Value, text string) {
	list := reflect.MakeSlice(v.Type(), 0, 4)
	for name := range strings.SplitSeq(text, ",") {
		if name = strings.TrimSpace(name); name != "" {
			list = reflect.Append(list, reflect.ValueOf(name).Convert(v.Type().Elem()))
		}
	}
	v.Set(list)
}

// fieldText gives the text of a field as setField takes it; empty for one that is
// not there.
func fieldText(record reflect.Value, path string) string {
	way, err := steps(path)
	if err != nil {
		return ""
	}
	v, err := fieldAt(record, way)
	if err != nil || v.Kind() == reflect.Pointer && v.IsNil() {
		return ""
	}
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	switch {
	case v.Type() == numberType:
		return digits(v.Interface().(bom.Number).Likely)
	case v.Type() == decimalType:
		return digits(v.Interface().(decimal.Decimal))
	case v.Kind() == reflect.Bool && v.Bool():
		return "yes"
	case v.Kind() == reflect.Bool:
		return "no"
	case v.Kind() == reflect.Slice:
		var names []string
		for i := range v.Len() {
			names = append(names, v.Index(i).String())
		}
		return strings.Join(names, ", ")
	}
	return fmt.Sprint(v.Interface())
}

// FieldText gives the text of a field of a record by its place, such as
// features[0].rz_um: what a change of the field would replace.
func FieldText(record any, path string) string {
	v := reflect.ValueOf(record)
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	return fieldText(v, path)
}
