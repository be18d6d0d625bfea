package text

import (
	"reflect"

	"kerfbook/bom"
)

// DecodeRecord reads as [Decode] does what a shop keeps. A required number that is
// not there is no error but missing: [Missing] lists it. Hints, if any are given, make its
// errors say more.
func DecodeRecord(data []byte, into any, hints ...Hints) (Places, error) {
	d := &decoder{lenient: true}
	for _, h := range hints {
		d.hints = h
	}
	return decode(data, into, d)
}

// Missing gives the paths of the required numbers of a value that nobody has entered.
func Missing(v any) []string {
	value := reflect.Indirect(reflect.ValueOf(v))
	s, err := schemaOf(value.Type())
	if err != nil {
		return nil // Decode says so
	}
	var out []string
	missing(s, value, "", &out)
	return out
}

func missing(s *schema, value reflect.Value, path string, out *[]string) {
	switch s.kind {
	case number:
		if value.Interface().(bom.Number).Missing {
			*out = append(*out, path)
		}
	case pointer:
		if !value.IsNil() {
			missing(s.elem, value.Elem(), path, out)
		}
	case list:
		for i := range value.Len() {
			missing(s.elem, value.Index(i), Index(path, i), out)
		}
	case record:
		for i := range s.fields {
			missing(s.fields[i].schema, value.FieldByIndex(s.fields[i].index), Field(path, s.fields[i].name), out)
		}
	}
}
