package change

import (
	"fmt"
	"reflect"
	"slices"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/rates"
)

// Taking is what a book takes of a starter: a material, a set of tools, or a machine.
type Taking struct {
	rates.Starter
	Drafts []Draft  // its records that the book does not have, to be saved in one change
	Kept   []string // ids of those it has, which stay as they are
	// Open names the operations that leave the choice of a tool open, and may take one
	// of the tools then.
	Open []string
}

// Takings gives all there is to be taken into a book.
func Takings(b *book.Book) ([]Taking, error) {
	all, err := rates.Starters()
	if err != nil {
		return nil, answer.Unexpected(err)
	}
	out := make([]Taking, len(all))
	for i, s := range all {
		if out[i], err = taking(b, s); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Take gives what a book takes of the starter of a name.
func Take(b *book.Book, id bom.ID) (Taking, error) {
	all, err := rates.Starters()
	if err != nil {
		return Taking{}, answer.Unexpected(err)
	}
	s, ok := rates.StarterOf(all, id)
	if !ok {
		return Taking{}, answer.Errorf(answer.NotFound, "there is no starter %s", bom.Shorten(string(id)))
	}
	return taking(b, s)
}

func taking(b *book.Book, s rates.Starter) (Taking, error) {
	out := Taking{Starter: s}
	for _, list := range []struct {
		kind    string
		records reflect.Value
	}{{"materials", reflect.ValueOf(s.Materials)}, {"tools", reflect.ValueOf(s.Tools)}, {"work_centres", reflect.ValueOf(s.Machines)},
		{"suppliers", reflect.ValueOf(s.Suppliers)}, {"outside_processes", reflect.ValueOf(s.Processes)}} {
		k, _ := record.KindOf(list.kind) // all are kinds of the book
		for i := range list.records.Len() {
			value := reflect.New(k.Type).Elem()
			value.Set(list.records.Index(i)) // a copy: all books share the starters
			ids, _ := k.Identify(value)
			if _, has := record.Find(b, k.Name, ids[0]); has {
				out.Kept = append(out.Kept, ids[0])
				continue
			}
			d, err := NewDraft(k, ids[0], value, nil)
			if err != nil {
				return out, answer.Unexpected(err)
			}
			out.Drafts = append(out.Drafts, d)
		}
	}
	out.open(b)
	return out, nil
}

// open finds the operations that may take one of the tools that come in.
func (t *Taking) open(b *book.Book) {
	comes := map[bom.ToolKind]bool{}
	for i := range t.Tools {
		comes[t.Tools[i].Kind] = comes[t.Tools[i].Kind] || !slices.Contains(t.Kept, string(t.Tools[i].ID))
	}
	look := func(of string, routing []bom.Operation) {
		for i := range routing {
			if slices.ContainsFunc(routing[i].Features, func(f bom.Feature) bool {
				return len(f.Tools) == 0 && slices.ContainsFunc(f.Kind.ToolKinds(), func(k bom.ToolKind) bool { return comes[k] })
			}) {
				t.Open = append(t.Open, fmt.Sprintf("%s, operation %d", of, routing[i].Number))
			}
		}
	}
	for i := range b.Parts {
		look("part "+string(b.Parts[i].Number), b.Parts[i].Routing)
	}
	for i := range b.Products {
		look("product "+string(b.Products[i].Number), b.Products[i].Routing)
	}
}
