package main

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"

	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// runFields says which fields the records of a book have.
func runFields(c *call) action {
	schema := c.flags.Bool("schema", false, "write a JSON Schema of the text form, of a book or of one KIND, for editors that check while you type")
	return func(_ context.Context, args []string) error {
		if *schema {
			return c.writeSchema(args)
		}
		switch len(args) {
		case 0:
			return c.listKinds()
		case 1:
			return c.listFields(args[0], "")
		}
		return c.showField(args[0], args[1])
	}
}

func (c *call) writeSchema(args []string) error {
	kind := strings.Join(args, " ")
	if kind != "" {
		if _, err := fieldsOf(kind, ""); err != nil {
			return err
		}
	}
	written, _ := field.Schema(kind) // the kind is known
	_, err := fmt.Fprintf(c.stdout, "%s\n", written)
	return err
}

func (c *call) listKinds() error {
	w := tabwriter.NewWriter(c.stdout, 0, 0, 2, ' ', 0)
	for _, k := range record.Kinds() {
		about, _ := field.KindOf(k.Name)
		fmt.Fprintf(w, "%s\t%s\n", k.Name, about.About)
	}
	return w.Flush()
}

// listFields lists the fields of a kind, or of the record at a place in it.
func (c *call) listFields(kind, within string) error {
	all, err := fieldsOf(kind, within)
	if err != nil {
		return err
	}
	var out strings.Builder
	w := tabwriter.NewWriter(&out, 0, 0, 2, ' ', 0)
	slices.SortStableFunc(all, func(a, b field.Entry) int { return cmp.Compare(firstOf(all, a.Group), firstOf(all, b.Group)) })
	group := ""
	for _, e := range all {
		if e.Group != group {
			group = e.Group
			fmt.Fprintf(w, "%s\t\t\n", group)
		}
		name := e.Name
		if e.Required {
			name += " *"
		}
		fmt.Fprintf(w, "  %s\t%s\t%s\n", name, e.Takes(), e.About)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	for line := range strings.Lines(out.String()) {
		fmt.Fprintln(c.stdout, strings.TrimRight(line, " \n"))
	}
	_, err = fmt.Fprintf(c.stdout, "\n* is needed. kerfbook fields %s %s says more of one.\n", kind, text.Field(within, "FIELD"))
	return err
}

// firstOf is where a group begins.
func firstOf(all []field.Entry, group string) int {
	return slices.IndexFunc(all, func(e field.Entry) bool { return e.Group == group })
}

// fieldsOf gives the fields of a kind, or of the record at a place in it.
func fieldsOf(kind, within string) ([]field.Entry, error) {
	k, ok := record.KindOf(kind)
	if !ok {
		var known []string
		for _, k := range record.Kinds() {
			known = append(known, k.Name)
		}
		return nil, unknownOf("kind", kind, known)
	}
	if within != "" {
		return field.Within(kind, within), nil
	}
	return field.All(k.Type), nil
}

// unknownOf says what may be meant by a name that is not known.
func unknownOf(what, name string, known []string) error {
	if near, ok := text.Nearest(name, known); ok {
		return usagef("there is no %s %q; did you mean %s?", what, name, near)
	}
	return usagef("there is no %s %q; known are %s", what, name, strings.Join(known, ", "))
}

// showField says all that is known of one field, and lists the fields of what it holds.
func (c *call) showField(kind, path string) error {
	if _, err := fieldsOf(kind, ""); err != nil {
		return err
	}
	e, ok := field.Under(kind, path)
	if !ok {
		at := strings.LastIndexByte(path, '.')
		around, _ := fieldsOf(kind, path[:max(at, 0)]) // of a kind that is known
		names := make([]string, len(around))
		for i, e := range around {
			names[i] = e.Name
		}
		return unknownOf("field", path[at+1:], names)
	}
	fmt.Fprintf(c.stdout, "%s\n%s\n\n", e.Label, e.About)
	w := tabwriter.NewWriter(c.stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintf(w, "takes\t%s\n", e.Takes())
	if e.Required {
		fmt.Fprintf(w, "needed\tyes\n")
	}
	if e.Former != "" {
		fmt.Fprintf(w, "called before\t%s\n", e.Former)
	}
	if e.Example != "" {
		fmt.Fprintf(w, "example\t%s: %s\n", e.Name, e.Example)
	}
	for i, word := range e.Words {
		fmt.Fprintf(w, "%s\t%s\t%s\n", map[bool]string{true: "words"}[i == 0], word.Value, word.Says)
	}
	if err := w.Flush(); err != nil {
		return err
	}
	if len(field.Within(kind, path)) == 0 {
		return nil
	}
	fmt.Fprintln(c.stdout)
	return c.listFields(kind, path)
}
