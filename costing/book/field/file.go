package field

import (
	"embed"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"sync"

	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

//go:embed *.yaml
var files embed.FS

// Files beside those of the kinds.
const (
	operationsFile = "operations"
	sharedFile     = "shared"
	wordsFile      = "words"
)

// sheet is one file.
type sheet struct {
	Kind  Kind                              `book:"kind"`
	Types map[string]map[string]description `book:"types"` // by type and field
	Paths map[string]description            `book:"paths"` // where a field means something else than its type says
	Words map[string]map[string]string      `book:"words"` // by type and word
}

// description is what is written of a field. The label is left out where the name of
// the field says it, the unit where the name ends in it.
type description struct {
	Label   string   `book:"label"`
	Unit    string   `book:"unit"`
	About   string   `book:"about,required"`
	Example string   `book:"example"`
	Refers  []string `book:"refers"`
	Rank    Rank     `book:"rank"`
	Group   string   `book:"group"`
}

// over lays what is written for a place over what is written for the type.
func (d description) over(below description) description {
	up, out := reflect.ValueOf(d), reflect.ValueOf(&below).Elem()
	for i := range up.NumField() {
		if !up.Field(i).IsZero() {
			out.Field(i).Set(up.Field(i))
		}
	}
	return below
}

// sheets reads each file when it is first asked for.
var sheets = func() map[string]func() (sheet, error) {
	out := map[string]func() (sheet, error){}
	listed, _ := files.ReadDir(".") // they are embedded
	for _, f := range listed {
		out[strings.TrimSuffix(f.Name(), ".yaml")] = sync.OnceValues(func() (all sheet, err error) {
			data, err := files.ReadFile(f.Name())
			if err != nil {
				return all, err
			}
			if _, err := text.Decode(data, &all); err != nil {
				return all, fmt.Errorf("%s: %w", f.Name(), err)
			}
			return all, nil
		})
	}
	return out
}()

// sheetOf reads a file; one that cannot be read describes nothing, and a test reads
// them all.
func sheetOf(file string) sheet {
	read := sheets[file]
	if read == nil {
		return sheet{}
	}
	s, _ := read()
	return s
}

// written is what a file says of a field.
func written(t reflect.Type, name string) description {
	file, _ := fileOf(t)
	return sheetOf(file).Types[t.String()][name]
}

// homes are the files that the structs of the book are described in.
var homes = sync.OnceValue(func() map[reflect.Type]string {
	out := map[reflect.Type]string{}
	put := func(file string, all []reflect.Type) {
		for _, t := range all {
			switch out[t] {
			case "", file:
				out[t] = file
			case operationsFile:
			default:
				out[t] = sharedFile
			}
		}
	}
	put(operationsFile, structs(reflect.TypeFor[bom.Operation](), nil))
	for _, k := range record.Kinds() {
		put(k.Name, structs(k.Type, nil))
	}
	return out
})

func fileOf(t reflect.Type) (string, bool) {
	file, ok := homes()[t]
	return file, ok
}

// structs lists a struct and those within it.
func structs(t reflect.Type, seen []reflect.Type) []reflect.Type {
	members, err := text.Members(t)
	if err != nil || len(members) == 0 || slices.Contains(seen, t) {
		return seen
	}
	seen = append(seen, t)
	for _, m := range members {
		seen = structs(m.Leaf, seen)
	}
	return seen
}
