package reference

import (
	"bytes"
	"fmt"
	"strings"
	"sync"

	"kerfbook/bom"
	"kerfbook/costing/text"
)

// Source is a publication that rows, worked examples and formulas rest on.
type Source struct {
	ID        bom.ID   `book:"id,required"`
	Title     string   `book:"title,required"`
	Publisher string   `book:"publisher,required"`
	Address   string   `book:"address"`
	LookedAt  bom.Date `book:"looked_at,required"`
}

// Sources gives the publications, in the order of the file.
var Sources = sync.OnceValues(func() ([]Source, error) {
	data, err := files.ReadFile("sources.yaml")
	if err != nil {
		return nil, err
	}
	var all struct {
		Sources []Source `book:"sources"`
	}
	if _, err := text.Decode(data, &all); err != nil {
		return nil, fmt.Errorf("sources.yaml: %w", err)
	}
	return all.Sources, nil
})

// String is the source as a proof cites it: of the address only the site, since a
// citation must fit a text of a row. The page of sources has the whole.
func (s Source) String() string {
	site, _, _ := strings.Cut(s.Address, "/")
	if site = strings.TrimPrefix(site, "www."); strings.Contains(s.Publisher, site) {
		site = ""
	}
	if site != "" {
		site = ", " + site
	}
	return fmt.Sprintf("%s (%s%s, looked at %s)", s.Title, s.Publisher, site, s.LookedAt)
}

// UnknownSourceError is a source that a row names and that is not in the file.
type UnknownSourceError struct{ ID string }

func (e *UnknownSourceError) Error() string { return fmt.Sprintf("no source has the id %.40q", e.ID) }

// citations are what stands in place of the ids.
var citations = sync.OnceValues(func() (map[string]string, error) {
	all, err := Sources()
	of := map[string]string{}
	for _, s := range all {
		of[string(s.ID)] = s.String()
	}
	return of, err
})

// Cite writes a citation of the program itself, with the sources it names by their
// ids. An id that is not in the file stays as it is, which a test of all files
// refuses.
func Cite(text string) string {
	if out, err := cited([]byte(text)); err == nil {
		return string(out)
	}
	return text
}

// cited writes the citations of sources in place of their ids, which stand in backticks.
func cited(data []byte) ([]byte, error) {
	of, err := citations()
	if err != nil {
		return nil, err
	}
	parts := bytes.Split(data, []byte{'`'})
	for i := 1; i < len(parts); i += 2 {
		text, ok := of[string(parts[i])]
		if !ok {
			return nil, &UnknownSourceError{string(parts[i])}
		}
		parts[i] = []byte(text)
	}
	return bytes.Join(parts, nil), nil
}
