package change

import (
	"fmt"
	"reflect"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
)

// Unconfirmed reports that some of a record came with the program and nobody has confirmed it.
func Unconfirmed(of reflect.Value) bool {
	found := false
	takenSources(of, func(reflect.Value) { found = true })
	return found
}

// Confirm gives the draft of a stored record whose sources say that somebody has looked at
// what came with the program.
func Confirm(k record.Kind, id string, written []byte, version answer.Version, who string, day bom.Date) (Draft, error) {
	value, _, err := k.Read(written)
	if err != nil {
		return Draft{}, Malformed("the record", err)
	}
	takenSources(value, func(source reflect.Value) {
		said := []rune(fmt.Sprintf("confirmed by %s on %s; it came as: %s", who, day, source))
		source.SetString(string(said[:min(len(said), text.MaxText)]))
	})
	d, err := NewDraft(k, id, value, nil)
	d.IfMatch = version
	return d, err
}

// takenSources visits the sources in a record that name what ships with the program.
func takenSources(v reflect.Value, visit func(reflect.Value)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			takenSources(v.Elem(), visit)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Field(i)
			if record.FieldName(v.Type().Field(i)) == "source" && f.Kind() == reflect.String && rates.Taken(f.String()) {
				visit(f)
			} else if v.Type().Field(i).IsExported() {
				takenSources(f, visit)
			}
		}
	}
}
