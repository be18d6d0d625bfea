package text_test

import (
	"reflect"

	"kerfbook/bom"

	"github.com/shopspring/decimal"
)

// sameLamp compares values; the places of a decimal are not part of its value,
// and an empty list is the same as none.
func sameLamp(a, b lamp) bool { return same(reflect.ValueOf(a), reflect.ValueOf(b)) }

func same(a, b reflect.Value) bool {
	switch x := a.Interface().(type) {
	case decimal.Decimal:
		return x.Equal(b.Interface().(decimal.Decimal))
	case bom.Number:
		return x.Equal(b.Interface().(bom.Number))
	}
	switch a.Kind() {
	case reflect.Pointer:
		return a.IsNil() == b.IsNil() && (a.IsNil() || same(a.Elem(), b.Elem()))
	case reflect.Struct:
		for i := range a.NumField() {
			if !same(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Slice:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !same(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	case reflect.Map:
		if a.Len() != b.Len() {
			return false
		}
		for _, key := range a.MapKeys() {
			if other := b.MapIndex(key); !other.IsValid() || !same(a.MapIndex(key), other) {
				return false
			}
		}
		return true
	}
	return a.Interface() == b.Interface()
}
