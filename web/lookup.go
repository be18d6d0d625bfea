package web

import (
	"reflect"
	"strconv"
	"strings"

	"kerfbook/bom"
)

// at finds the number at a place in a record, such as routing[0].yield.
func at(record reflect.Value, path string) (bom.Number, bool) {
	v := record
	for _, step := range strings.Split(path, ".") {
		name, rest, _ := strings.Cut(step, "[")
		if v = fieldOf(v, name); !v.IsValid() {
			return bom.Number{}, false
		}
		for rest != "" {
			var index string
			index, rest, _ = strings.Cut(rest, "]")
			rest = strings.TrimPrefix(rest, "[")
			if v = entryOf(v, index); !v.IsValid() {
				return bom.Number{}, false
			}
		}
	}
	return asNumber(v)
}

func fieldOf(v reflect.Value, name string) reflect.Value {
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	if !v.IsValid() || v.Kind() != reflect.Struct {
		return reflect.Value{}
	}
	return fieldByTag(v, name)
}

func entryOf(v reflect.Value, index string) reflect.Value {
	i, err := strconv.Atoi(index)
	if err != nil || v.Kind() != reflect.Slice || i < 0 || i >= v.Len() {
		return reflect.Value{}
	}
	return v.Index(i)
}

func asNumber(v reflect.Value) (bom.Number, bool) {
	switch n := v.Interface().(type) {
	case bom.Number:
		return n, true
	case *bom.Number:
		if n != nil {
			return *n, true
		}
	case int:
		return bom.Whole(int64(n)), true
	}
	return bom.Number{}, false
}
