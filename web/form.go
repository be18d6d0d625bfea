package web

import "strings"

// field is one input of a form.
type field struct {
	Name, Label, Hint string
	Value             string
	Suffix            string // unit or currency, shown behind the input
	Mode              string // inputmode: numeric, decimal, or empty for text
	Kind              string // type of the input; empty for text
	Autocomplete      string
	Error             string
	Wide              bool
	Options           []option // a choice where there are any
	Rows              int      // lines of a text area, 0 for one line
}

// option is one value of a choice.
type option struct {
	Value, Label string
	Chosen       bool
}

// ID is the id of the input in the page.
func (f field) ID() string { return fieldID(f.Name) }

// Described lists the ids that explain the input.
func (f field) Described() string {
	var ids []string
	if f.Hint != "" {
		ids = append(ids, f.ID()+"-hint")
	}
	if f.Error != "" {
		ids = append(ids, f.ID()+"-error")
	}
	return strings.Join(ids, " ")
}

// Type is the type of the input.
func (f field) Type() string {
	if f.Kind == "" {
		return "text"
	}
	return f.Kind
}

// fieldID makes an id of the name of a field.
func fieldID(name string) string {
	return "f-" + strings.NewReplacer(".", "-", " ", "-", "[", "-", "]", "-", "/", "-").Replace(name)
}

// choose marks the option that has a value.
func choose(options []option, value string) []option {
	out := make([]option, len(options))
	for i, o := range options {
		o.Chosen = o.Value == value
		out[i] = o
	}
	return out
}
