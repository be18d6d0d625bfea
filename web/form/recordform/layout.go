package recordform

import (
	"cmp"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
	"kerfbook/web/chart"
	"kerfbook/web/form"
	"kerfbook/web/frame"
	"kerfbook/web/notation"
)

// Picks offers what a field may refer to, with names: records of kinds such as stocks, or
// entries of their lists, such as products.trims.
type Picks func(kinds []string) []frame.Option

// Shown is what a form shows beside what was typed.
type Shown struct {
	Kind     record.Kind
	Prefix   string // of the names of the fields
	Action   string // where its buttons send it
	Currency string
	As       notation.Style // how the person writes numbers
	Fixed    bool           // the record has its id already
	Picks    Picks
	Faults   []Fault
	Pasted   map[string]string // tables that were not taken, by the place of their list
}

// Group is a record, or fields of it that belong together.
type Group struct {
	ID, Title, About string
	Error            string
	Open             bool
	Set              string // what is typed in it, where it is closed
	Items, Rare      []Item
	RareSet          string
	RareOpen         bool
}

// Item is a field, a record in the record or a list.
type Item struct {
	Field *Input
	Inner *Group
	List  *List
}

// Input is a field with what may be done about it.
type Input struct {
	frame.Field
	Means  string // the name of what it refers to
	New    string // act by which such a record is entered beside
	NewOne string
	To     string
	Check  bool
	First  bool // filled in by nearly everyone
	Fixed  bool
	Range  []frame.Field
	Spread bool            // a range is typed
	Drawn  *chart.SpreadOf // how its values are spread
}

// List is a list of records, or of tables of words.
type List struct {
	Group
	Place, One, To string
	Heads          []frame.Field
	Rows           []Row
	More           bool // rows open
	Nested         bool // it stands within another record
	Add            *frame.Field
	Paste          frame.Field
}

// Span are the columns of the table, that of the buttons included.
func (l List) Span() []struct{} { return make([]struct{}, len(l.Heads)+1) }

// Last is where an entry that is added will stand.
func (l List) Last() string {
	if len(l.Rows) == 0 {
		return l.ID
	}
	return l.Rows[len(l.Rows)-1].ID
}

// Row is an entry of a list.
type Row struct {
	Place, Name, ID, To string
	ListID, Error       string
	Cells               []Input
	Rest                *Group
	More, Open          bool
	First, Last         bool
}

// Form is the form of a record.
type Form struct {
	Groups []Group
	Hidden []frame.Field // typed, and not in a field that is shown
	// Problems are the faults with the labels of their fields.
	Problems frame.Problems
}

// Layout lays out the form of a record.
func (s *Sheet) Layout(shown Shown) Form {
	l := &layout{Shown: shown, sheet: s, filled: s.Typed.filled(), faulty: Typed{}, shown: map[string]bool{}, labels: map[string]string{}}
	for _, f := range shown.Faults {
		at := l.fieldOf(f.Place)
		l.faulty[at] = cmp.Or(l.faulty[at], f.Message)
	}
	l.wrong, l.opened = l.faulty.filled(), s.Open.filled()
	out := Form{Groups: l.groups()}
	for _, place := range slices.Sorted(maps.Keys(s.Typed)) {
		if !l.shown[place] && !strings.HasPrefix(place, "new.") {
			out.Hidden = append(out.Hidden, frame.Field{Name: shown.Prefix + place, Value: s.Typed[place]})
		}
	}
	for _, place := range slices.Sorted(maps.Keys(s.Open)) {
		out.Hidden = append(out.Hidden, frame.Field{Name: OpenName, Value: shown.Prefix + place})
	}
	for _, f := range shown.Faults {
		at := l.fieldOf(f.Place)
		if label, ok := l.labels[at]; ok {
			out.Problems.Add(shown.Prefix+at, label+": "+l.faulty[at])
		} else {
			out.Problems.Add("", f.Message)
		}
	}
	return out
}

// fieldOf is the place of the field that a fault stands at: the place itself, or the field
// of a list of words that it lies in.
func (l *layout) fieldOf(place string) string {
	at, t := "", l.Kind.Type
	way, err := text.Steps(place)
	if err != nil {
		return place
	}
	for i, step := range way {
		end := len(place)
		if i+1 < len(way) {
			end = way[i+1].At
		}
		at = place[:end]
		if step.Index >= 0 {
			continue
		}
		members := membersOf(t)
		m := slices.IndexFunc(members, func(m text.Member) bool { return m.Name == step.Name })
		switch {
		case m < 0:
			return place
		case members[m].Shape == text.ShapeRecord || members[m].Nested() && members[m].Entry == text.ShapeRecord:
			t = members[m].Leaf
		case members[m].Nested() && i+3 < len(way):
			return place[:way[i+3].At] // a name of a table in a list
		case members[m].Shape == text.ShapeTable && i+2 < len(way):
			return place[:way[i+2].At]
		case members[m].Shape == text.ShapeList && !members[m].Nested():
			return at
		default:
			return place
		}
	}
	return at
}

// OpenName is the name of the fields that say which entries are open.
const OpenName = "open"

type layout struct {
	Shown
	sheet  *Sheet
	filled map[string]bool
	faulty Typed           // messages by place
	wrong  map[string]bool // places with something wrong at or below them
	opened map[string]bool // places with something open at or below them
	shown  map[string]bool
	labels map[string]string // of what is on the page, by place
}

// groups lays out the record by the groups of the dictionary. Records in it and lists are
// groups of their own.
func (l *layout) groups() []Group {
	items, rare := l.items(l.Kind.Type, "", "")
	var out []Group
	first := Group{Title: "What it is", Open: true}
	at := map[string]int{}
	put := func(it Item, rarely bool) {
		switch {
		case it.Inner != nil:
			out = append(out, *it.Inner)
		case it.List != nil:
			g := it.List.Group
			g.Items = []Item{{List: it.List}}
			out = append(out, g)
		default:
			name := cmp.Or(l.entry("", it.Field.place(l.Prefix)).Group, first.Title)
			i, known := at[name]
			if !known {
				i = len(out)
				at[name] = i
				out = append(out, Group{Title: name, ID: frame.FieldID(l.Prefix + "group " + bom.Slug(name))})
			}
			if rarely {
				out[i].Rare = append(out[i].Rare, it)
			} else {
				out[i].Items = append(out[i].Items, it)
			}
		}
	}
	for _, it := range items {
		put(it, false)
	}
	for _, it := range rare {
		put(it, true)
	}
	for i := range out {
		l.fold(&out[i])
		out[i].Open = out[i].Open || out[i].ID == frame.FieldID(l.Prefix+"group "+bom.Slug(out[i].Title)) && l.begun(&out[i])
	}
	return out
}

func (in *Input) place(prefix string) string { return strings.TrimPrefix(in.Name, prefix) }

// fold says of what is folded what is typed in it. A group of rare fields alone is closed.
func (l *layout) fold(g *Group) {
	g.RareSet, g.RareOpen = l.said(g.Rare)
	set, wrong := l.said(append(slices.Clone(g.Items), g.Rare...))
	g.Set = cmp.Or(g.Set, set)
	if len(g.Items) == 0 && len(g.Rare) > 0 {
		g.Items, g.Rare = g.Rare, nil
		g.Open = false
	}
	g.Open = g.Open || wrong
}

// begun says that a group has a field that nearly everyone fills in.
func (l *layout) begun(g *Group) bool {
	return slices.ContainsFunc(g.Items, func(it Item) bool {
		return it.Field != nil && it.Field.First
	})
}

// said names what is typed into fields, and says whether some of it is wrong.
func (l *layout) said(items []Item) (set string, wrong bool) {
	var out []string
	for _, it := range items {
		switch {
		case it.Field != nil:
			if value := it.Field.Value; value != "" {
				for _, o := range it.Field.Options {
					if o.Chosen {
						value = o.Label
					}
				}
				out = append(out, strings.TrimSpace(it.Field.Label+" "+bom.Shorten(value)+" "+it.Field.Suffix))
			}
			wrong = wrong || it.Field.Error != "" || it.Field.Spread && l.wrong[it.Field.place(l.Prefix)]
		case it.Inner != nil:
			if it.Inner.Set != "" {
				out = append(out, it.Inner.Title)
			}
			wrong = wrong || it.Inner.Open && it.Inner.Set != ""
		case it.List != nil:
			if len(it.List.Rows) > 0 && it.List.Set != "" {
				out = append(out, it.List.Title+" "+strconv.Itoa(len(it.List.Rows)))
			}
			wrong = wrong || l.wrong[strings.TrimPrefix(it.List.Place, l.Prefix)]
		}
	}
	if len(out) > 4 {
		out = append(out[:4], "…")
	}
	return strings.Join(out, " · "), wrong
}

// entry is what the dictionary says of the field at a place.
func (l *layout) entry(in, name string) field.Entry {
	e, _ := field.Under(l.Kind.Name, text.Field(in, name))
	e.Label = cmp.Or(e.Label, form.Words(name))
	return e
}

// items lays out the fields of a record in the record, rare ones apart. context names
// where they are, in a list.
func (l *layout) items(t reflect.Type, place, context string) (items, rare []Item) {
	kind := l.sheet.Typed[text.Field(place, "kind")]
	if t == reflect.TypeFor[bom.Stock]() {
		kind = l.sheet.Typed["form"]
	}
	for _, m := range membersOf(t) {
		at := text.Field(place, m.Name)
		if l.shown[at] {
			continue // it is a cell of its row
		}
		e := l.entry(place, m.Name)
		rank, takes := rankOf(t, kind, e)
		if !takes && !l.filled[at] {
			continue
		}
		it := l.item(m, e, at, context, rank)
		if rank == field.Rare && !l.wrong[at] {
			rare = append(rare, it)
		} else {
			items = append(items, it)
		}
	}
	return items, rare
}

func (l *layout) item(m text.Member, e field.Entry, at, context string, rank field.Rank) Item {
	switch {
	case m.Shape == text.ShapeRecord:
		g := l.inner(m.Leaf, e, at, context)
		g.Open = l.wrong[at] || rank == field.First
		return Item{Inner: &g}
	case m.Shape == text.ShapeTable:
		g := l.table(m, e, at, context)
		return Item{Inner: &g}
	case m.Nested():
		list := l.list(m, e, at, context)
		list.Open = l.wrong[at] || l.opened[at] || rank == field.First && len(list.Rows) <= longList
		list.Nested = strings.ContainsAny(at, ".[")
		return Item{List: &list}
	}
	in := l.input(m, e, at, context)
	in.First = rank == field.First
	return Item{Field: &in}
}

func (l *layout) inner(t reflect.Type, e field.Entry, at, context string) Group {
	g := l.group(e, at, context)
	g.Items, g.Rare = l.items(t, at, context)
	l.keep(at)
	if l.fold(&g); !l.filled[at] {
		g.Set = ""
	}
	return g
}

// group begins what is shown of a record or list at a place.
func (l *layout) group(e field.Entry, at, context string) Group {
	g := Group{ID: frame.FieldID(l.Prefix + at), Title: capital(e.Label), About: e.About, Error: l.faulty[at]}
	l.labels[at] = capital(context + e.Label)
	return g
}

// keep leaves the field of an entry on the page where it says that the entry is there.
func (l *layout) keep(at string) {
	if l.sheet.Typed[at] == there && len(l.sheet.Typed.keys(at)) > 0 {
		l.shown[at] = true
	}
}

// table lays out names by options of the record, whose ids are what it is about.
func (l *layout) table(m text.Member, e field.Entry, at, context string) Group {
	g := l.group(e, at, context)
	g.Open = true
	keys := l.sheet.Typed.keys(at)
	for i := range l.sheet.Typed.Count("options") {
		if id := l.sheet.Typed[text.Index("options", i)+".id"]; id != "" && !slices.Contains(keys, id) {
			keys = append(keys, id)
		}
	}
	for _, key := range keys {
		name := text.Key(at, key)
		in := l.input(m.Value(), field.Entry{Label: key}, name, context+e.Label+", ")
		in.Data = l.choices(key)
		g.Items = append(g.Items, Item{Field: &in})
	}
	if len(keys) == 0 {
		g.About = strings.TrimSpace(g.About + " Enter options of the product first.")
	}
	l.keep(at)
	g.Set, _ = l.said(g.Items)
	return g
}

// choices are those of an option of the record.
func (l *layout) choices(option string) []frame.Option {
	var out []frame.Option
	for i := range l.sheet.Typed.Count("options") {
		at := text.Index("options", i)
		if l.sheet.Typed[at+".id"] != option {
			continue
		}
		for j := range l.sheet.Typed.Count(at + ".choices") {
			choice := text.Index(at+".choices", j)
			out = append(out, frame.Option{Value: l.sheet.Typed[choice+".id"], Label: l.sheet.Typed[choice+".name"]})
		}
	}
	return out
}

func (l *layout) input(m text.Member, e field.Entry, at, context string) Input {
	l.shown[at] = true
	l.labels[at] = capital(context + e.Label)
	in := Input{To: l.Action}
	in.Name, in.Label, in.Hint, in.Value, in.Error = l.Prefix+at, capital(e.Label), e.About, l.sheet.Typed[at], l.faulty[at]
	if strings.Contains(in.Error, " is missing; add this field") {
		in.Error = strings.TrimSpace("enter it " + map[bool]string{true: "such as " + e.Example}[e.Example != "" && m.Shape != text.ShapeWord])
		l.faulty[at] = in.Error
	}
	in.Suffix = strings.Replace(e.Unit, "money", l.Currency, 1)
	if e.Example != "" && in.Value == "" && m.Shape != text.ShapeWord && m.Shape != text.ShapeYesNo {
		in.Hint = strings.TrimSpace(in.Hint + " Such as " + strings.Trim(e.Example, `[]"`) + ".")
	}
	in.Context = context
	switch m.Shape {
	case text.ShapeYesNo:
		in.Check = true
	case text.ShapeWord:
		in.Options = l.words(m, e, in.Value)
	case text.ShapeDay:
		if _, err := bom.ParseDate(in.Value); err == nil || in.Value == "" {
			in.Kind = "date"
		}
	case text.ShapeWhole, text.ShapeSingle:
		in.Mode = "decimal"
	case text.ShapeRange:
		in.Mode = "decimal"
		l.spread(&in, at)
		_, unit := field.Unit(m.Name)
		typed := l.sheet.Typed
		in.Drawn = form.Drawn(l.As, unit, typed[at+".low"], in.Value, typed[at+".high"], typed[at+".sd"], typed[at+".shape"])
		if n, err := l.As.Number(in.Value, unit); err == nil {
			in.Understood = n.Said
		}
	case text.ShapeList:
		if in.Wide = true; m.Prose() {
			in.Rows = max(2, strings.Count(in.Value, "\n")+1)
		}
	}
	if m.Leaf == countryType && !strings.Contains(at, "[") { // the list is long, and rows are many
		in.Data = frame.Countries()
		if code, ok := notation.Country(in.Value); ok {
			in.Means = notation.CountryName(code)
		}
	}
	l.refer(&in, e, at)
	return in
}

// words offers the words of a field.
func (l *layout) words(m text.Member, e field.Entry, value string) []frame.Option {
	out := []frame.Option{{Value: "", Label: map[bool]string{true: "choose", false: "not said"}[m.Required]}}
	known := value == ""
	for _, w := range e.Words {
		known = known || w.Value == value
		label := form.Words(w.Value)
		if w.Says != "" {
			label = w.Says
		}
		out = append(out, frame.Option{Value: w.Value, Label: label})
	}
	if !known {
		out = append(out, frame.Option{Value: value, Label: value})
	}
	return frame.Choose(out, value)
}

// spread adds the fields of a range.
func (l *layout) spread(in *Input, at string) {
	for _, f := range []frame.Field{{Name: "low", Label: "Low", Mode: "decimal"}, {Name: "high", Label: "High", Mode: "decimal"}, {Name: "shape", Label: "Shape"}, {Name: "sd", Label: "Deviation", Mode: "decimal"}} {
		place := at + "." + f.Name
		f.Name, f.Value, f.Error = l.Prefix+place, l.sheet.Typed[place], l.faulty[place]
		if f.Label == "Shape" {
			var shapes []frame.Option
			for _, name := range bom.ShapeNames() {
				shapes = append(shapes, frame.Option{Value: name, Label: frame.ShapeWords(name)})
			}
			shapes[0].Value = ""
			f.Options = frame.Choose(shapes, f.Value)
		}
		f.Context = in.Context + in.Label + ", "
		l.shown[place] = true
		l.labels[place] = capital(f.Context + f.Label)
		in.Range = append(in.Range, f)
		in.Spread = in.Spread || f.Value != "" || f.Error != ""
	}
}

// refer offers what a field may refer to. A few are chosen from, of many one is typed.
func (l *layout) refer(in *Input, e field.Entry, at string) {
	if l.Fixed && !strings.ContainsAny(at, ".[") && (at == "id" || at == "number") {
		in.Fixed = true
	}
	if len(e.Refers) == 0 {
		return
	}
	others := slices.DeleteFunc(slices.Clone(e.Refers), func(of string) bool { return strings.HasPrefix(of, l.Kind.Name+".") })
	in.Data = append(l.own(e.Refers), l.Picks(others)...)
	if i := slices.IndexFunc(in.Data, func(o frame.Option) bool { return o.Value == in.Value }); i >= 0 && in.Value != "" {
		in.Means = in.Data[i].Label
	} else if in.Value != "" && in.Error == "" {
		in.Means = "not there yet"
	}
	if k, ok := form.KindOf(e.Refers[0]); ok {
		in.New, in.NewOne = k.Kind, k.One
	}
	const few = 12
	if len(in.Data) > 0 && len(in.Data) <= few && !in.Wide {
		options := append([]frame.Option{{Label: "choose"}}, in.Data...)
		if in.Means == "not there yet" {
			options = append(options, frame.Option{Value: in.Value, Label: in.Value + ", not there yet"})
		}
		in.Options, in.Data, in.Means = frame.Choose(options, in.Value), nil, ""
	}
}

// own are the entries of lists of the record itself that a field may refer to.
func (l *layout) own(refers []string) (out []frame.Option) {
	for _, of := range refers {
		list, own := strings.CutPrefix(of, l.Kind.Name+".")
		for i := range l.sheet.Typed.Count(list) {
			at := text.Index(list, i)
			if id := cmp.Or(l.sheet.Typed[at+".id"], l.sheet.Typed[at+".number"]); own && id != "" {
				out = append(out, frame.Option{Value: id, Label: cmp.Or(l.sheet.Typed[at+".name"], id)})
			}
		}
	}
	return out
}

func capital(label string) string {
	if label == "" {
		return label
	}
	return strings.ToUpper(label[:1]) + label[1:]
}
