package reference

import (
	"embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"kerfbook/bom"
	"kerfbook/costing/text"
)

//go:embed *.yaml materials/*.yaml
var files embed.FS

// Rows decodes the rows of files that ship with the program, when they are first
// asked for. Each row is dated and names its source; one that was recalled and not
// looked up says so and counts as unverified. The citations of sources stand in
// place of their ids. No two files of a set have a table
// in common.
func Rows[T any](names ...string) func() (T, error) {
	return sync.OnceValues(func() (all T, err error) {
		var data []byte
		for _, name := range names {
			one, err := files.ReadFile(name)
			if err != nil {
				return all, err
			}
			if one, err = cited(one); err != nil {
				return all, fmt.Errorf("%s: %w", name, err)
			}
			data = slices.Concat(data, one)
		}
		if _, err := text.Decode(data, &all); err != nil {
			return all, fmt.Errorf("%s: %w", strings.Join(names, ", "), err)
		}
		return all, nil
	})
}

// Folder gives, by the name of each file of a folder, what reads its rows when they
// are first asked for.
func Folder[T any](folder string) map[string]func() (T, error) {
	out := map[string]func() (T, error){}
	listed, _ := files.ReadDir(folder) // a folder that is not embedded has no files
	for _, f := range listed {
		out[strings.TrimSuffix(f.Name(), ".yaml")] = Rows[T](folder + "/" + f.Name())
	}
	return out
}

// Row is a row that was found, the shop's own or one that ships with the program,
// with its provenance.
type Row[T any] struct {
	Value T
	Provenance
}

// Provenance says where a row came from, in the terms of a figure's source.
type Provenance struct {
	Where      string // "reference row tax PT vat from 2011-01-01"
	Path       string // place in the book, for own rows
	Cite       string
	CheckedOn  string
	Unverified bool
}

// Told makes the provenance of a row that says where it is from and when that was
// last looked at.
func Told(where, cite string, checked bom.Date) Provenance {
	return Provenance{Where: where, Cite: cite, CheckedOn: string(checked), Unverified: Unverified(cite)}
}

// LongestText is the most characters that a text of a row or record has.
const LongestText = text.MaxText

// FromMemory begins the citation of a row that was recalled and not looked up.
const FromMemory = "from memory"

// Unverified reports that a citation names no source that was looked up.
func Unverified(cite string) bool { return cite == "" || strings.HasPrefix(cite, FromMemory) }
