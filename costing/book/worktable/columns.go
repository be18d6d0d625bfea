package worktable

import (
	"reflect"
	"slices"
	"strings"

	"kerfbook/bom"
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
	OperationRow:      fields(reflect.TypeFor[bom.Operation](), "number", "features", "characteristics"),
	FeatureRow:        fields(reflect.TypeFor[bom.Feature](), "id"),
	CharacteristicRow: fields(reflect.TypeFor[bom.Characteristic](), "name"),
}

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
	for kind, t := range []reflect.Type{reflect.TypeFor[bom.Operation](), reflect.TypeFor[bom.Feature](), reflect.TypeFor[bom.Characteristic]()} {
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

// Columns lists the columns that a table may have, in the order in which they are
// written.
func Columns() []Column { return slices.Clone(columns) }
