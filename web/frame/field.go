package frame

import (
	"slices"
	"strings"
)

// Field is one input of a form.
type Field struct {
	Name, Label, Hint string
	Context           string // said before the label, where a page has several of the same
	Value             string
	Suffix            string // unit or currency, shown behind the input
	Mode              string // inputmode: numeric, decimal, or empty for text
	Kind              string // type of the input; empty for text
	Autocomplete      string
	Error             string
	Understood        string // what was typed, where that does not show by itself
	Wide              bool
	Options           []Option // a choice where there are any
	Data              []Option // what it may be, or anything else
	Rows              int      // lines of a text area, 0 for one line
}

// Option is one value of a choice.
type Option struct {
	Value, Label string
	Chosen       bool
}

// ID is the id of the input in the page.
func (f Field) ID() string { return FieldID(f.Name) }

// Described lists the ids that explain the input.
func (f Field) Described() string {
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
func (f Field) Type() string {
	if f.Kind == "" {
		return "text"
	}
	return f.Kind
}

// FieldID makes an id of the name of a field.
func FieldID(name string) string {
	return "f-" + strings.NewReplacer(".", "-", " ", "-", "[", "-", "]", "-", "/", "-").Replace(name)
}

// Offer gives a field its options with that of a value marked; false if none has it.
func (f *Field) Offer(options []Option, value string) bool {
	f.Options = Choose(options, value)
	return slices.ContainsFunc(options, func(o Option) bool { return o.Value == value })
}

// Choose marks the option that has a value.
func Choose(options []Option, value string) []Option {
	out := make([]Option, len(options))
	for i, o := range options {
		o.Chosen = o.Value == value
		out[i] = o
	}
	return out
}
