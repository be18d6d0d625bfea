package service

import (
	"fmt"
	"reflect"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
)

var (
	numberType  = reflect.TypeFor[bom.Number]()
	decimalType = reflect.TypeFor[decimal.Decimal]()
)

// setFigure puts a figure at a path of a record. The record must be one that
// nobody else holds: lists and pointers of it are changed in place.
func setFigure(record reflect.Value, path string, figure decimal.Decimal) error {
	way, err := steps(path)
	if err != nil {
		return err
	}
	return walk(record, way, figure)
}

func walk(v reflect.Value, way []step, figure decimal.Decimal) error {
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return fmt.Errorf("there is no figure to change")
		}
		v = v.Elem()
	}
	if len(way) == 0 {
		return put(v, figure)
	}
	next := way[0]
	switch {
	case v.Type() == numberType || v.Type() == decimalType:
		return fmt.Errorf("there is no %s in a figure", next.name)
	case v.Kind() == reflect.Struct && next.index < 0:
		if i := memberOf(v.Type(), next.name); i >= 0 {
			return walk(v.Field(i), way[1:], figure)
		}
	case v.Kind() == reflect.Slice && next.index >= 0 && next.index < v.Len():
		return walk(v.Index(next.index), way[1:], figure)
	case v.Kind() == reflect.Map && next.index < 0:
		return walkTable(v, way, figure)
	}
	return fmt.Errorf("there is no such place in the record")
}

// walkTable changes an entry of a table, which cannot be changed in place.
func walkTable(v reflect.Value, way []step, figure decimal.Decimal) error {
	key := reflect.ValueOf(way[0].name).Convert(v.Type().Key())
	found := v.MapIndex(key)
	if !found.IsValid() {
		return fmt.Errorf("there is no entry %s", way[0].name)
	}
	entry := reflect.New(found.Type()).Elem()
	entry.Set(found)
	if err := walk(entry, way[1:], figure); err != nil {
		return err
	}
	v.SetMapIndex(key, entry)
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
		return fmt.Errorf("this is no figure")
	}
	return nil
}

// likely gives a number with another figure. A range keeps its ends and its shape.
func likely(n bom.Number, figure decimal.Decimal) (bom.Number, error) {
	if !n.IsRange {
		return bom.Exactly(figure), nil
	}
	if figure.LessThan(n.Low) || figure.GreaterThan(n.High) {
		return n, fmt.Errorf("%s lies outside the estimate, which is between %s and %s; change its ends in the record first", digits(figure), digits(n.Low), digits(n.High))
	}
	n.Likely = figure
	return n, nil
}
