package worktable

import (
	"reflect"
	"slices"
	"strings"

	"kerfbook/bom"
	dictionary "kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
)

// RowKind is what a row describes.
type RowKind int

// The kinds of row. The first columns of a row tell which it is.
const (
	OperationRow RowKind = iota
	FeatureRow
	CharacteristicRow
	rowKinds
)

// String names the kind for people.
func (k RowKind) String() string {
	return [...]string{"operation", "feature", "characteristic"}[k]
}

// The columns that name a row.
const (
	operationColumn      = "operation"
	featureColumn        = "feature"
	characteristicColumn = "characteristic"
)

// nameColumns name a row, one for each kind.
var nameColumns = [rowKinds]string{operationColumn, featureColumn, characteristicColumn}

// Column is a column that a table may have.
type Column struct {
	Name string
	Of   []RowKind // whose rows fill it
}

// columns lists all columns in the order in which they are written.
var columns = allColumns()

// fieldsOf are the fields of the rows of each kind, by the name of the column.
var fieldsOf = [rowKinds]map[string]field{
	OperationRow:      fields(rowTypes[OperationRow], "number", "features", "characteristics"),
	FeatureRow:        fields(rowTypes[FeatureRow], idFields[FeatureRow]),
	CharacteristicRow: fields(rowTypes[CharacteristicRow], idFields[CharacteristicRow]),
}

// idFields tell the records of a list apart, which the first columns name.
var idFields = [rowKinds]string{"number", "id", "name"}

// rowTypes are what the rows of each kind hold.
var rowTypes = [rowKinds]reflect.Type{reflect.TypeFor[bom.Operation](), reflect.TypeFor[bom.Feature](), reflect.TypeFor[bom.Characteristic]()}

// field is a field of a record, or of a record within it.
type field struct {
	way      []int // of indexes
	path     string
	required bool
}

func fields(t reflect.Type, without ...string) map[string]field {
	out := map[string]field{}
	for i := range t.NumField() {
		tag := t.Field(i).Tag.Get("book")
		name, rest, _ := strings.Cut(tag, ",")
		if name == "" || slices.Contains(without, name) {
			continue
		}
		inner := t.Field(i).Type
		if inner.Kind() == reflect.Pointer && inner.Elem() != numberType {
			for sub, f := range fields(inner.Elem()) {
				out[name+"."+sub] = field{append([]int{i}, f.way...), name + "." + f.path, false}
			}
			continue
		}
		out[name] = field{[]int{i}, name, slices.Contains(strings.Split(rest, ","), "required")}
	}
	return out
}

// order is the order of the fields of a record, those of records within it
// included.
func order(t reflect.Type) []string {
	var out []string
	for i := range t.NumField() {
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("book"), ",")
		inner := t.Field(i).Type
		if inner.Kind() == reflect.Pointer && inner.Elem() != numberType {
			for _, sub := range order(inner.Elem()) {
				out = append(out, name+"."+sub)
			}
			continue
		}
		out = append(out, name)
	}
	return out
}

var numberType = reflect.TypeFor[bom.Number]()

func allColumns() []Column {
	out := []Column{{operationColumn, []RowKind{OperationRow, FeatureRow, CharacteristicRow}}, {featureColumn, []RowKind{FeatureRow}}, {characteristicColumn, []RowKind{CharacteristicRow}}}
	for kind, t := range rowTypes {
		for _, name := range order(t) {
			if _, known := fieldsOf[kind][name]; !known {
				continue
			}
			if at := slices.IndexFunc(out, func(c Column) bool { return c.Name == name }); at >= 0 {
				out[at].Of = append(out[at].Of, RowKind(kind))
			} else {
				out = append(out, Column{name, []RowKind{RowKind(kind)}})
			}
		}
	}
	return out
}

// headed gives the columns by the heads that people write: their names, and what the
// dictionary calls their fields, as far as it calls no other so.
func headed() map[string]string {
	out := map[string]string{}
	for kind, t := range rowTypes {
		for name, f := range fieldsOf[kind] {
			for _, head := range described(t, f.way).Heads() {
				if other, taken := out[head]; taken && other != name {
					out[head] = "" // it may be either
					continue
				}
				out[head] = name
			}
		}
	}
	for _, c := range columns {
		out[c.Name] = c.Name
	}
	return out
}

// described is what the dictionary says of a field at the end of a way of indexes.
func described(t reflect.Type, way []int) dictionary.Entry {
	for _, i := range way[:len(way)-1] {
		t = t.Field(i).Type.Elem()
	}
	e, _ := dictionary.Of(t, record.FieldName(t.Field(way[len(way)-1])))
	return e
}

// Columns lists the columns that a table may have, in the order in which they are
// written.
func Columns() []Column { return slices.Clone(columns) }
