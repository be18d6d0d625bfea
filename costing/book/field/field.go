package field

import (
	"cmp"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
)

// Entry describes one field of the book.
type Entry struct {
	text.Member
	Label   string // for people
	Unit    string // of one value, such as mm or money per h; empty for none
	About   string // one sentence: what it is and where to get it
	Example string // as it is written in the text form; empty for records and lists of them
	Words   []Word // that it takes, if it takes some only
	// Refers are the kinds of record whose ids it takes, or lists of the same record, such as
	// products.places; empty for none. Of a table it is about its names.
	Refers []string
	Rank   Rank
	Group  string // of fields shown together
}

// Word is one of the words that a field takes.
type Word struct{ Value, Says string }

// Rank is how often a field is filled in.
type Rank string

// Ranks.
const (
	First Rank = "first" // by nearly everyone
	Usual Rank = "usual"
	Rare  Rank = "rare"
)

// Values lists the ranks.
func (Rank) Values() []string { return []string{string(First), string(Usual), string(Rare)} }

// Kind describes a kind of record.
type Kind struct {
	Name  string `book:"name,required"` // of its list, for people
	One   string `book:"one,required"`  // of one record
	About string `book:"about,required"`
}

// KindOf describes a kind of record by the name it has in the book.
func KindOf(kind string) (Kind, bool) {
	if _, ok := record.KindOf(kind); !ok {
		return Kind{}, false
	}
	s := sheetOf(kind)
	return s.Kind, s.Kind != (Kind{})
}

// Of describes the field of a struct by its name in the text form.
func Of(t reflect.Type, name string) (Entry, bool) {
	file, ok := fileOf(t)
	members, _ := text.Members(t) // of types that the reader knows
	at := slices.IndexFunc(members, func(m text.Member) bool { return m.Name == name })
	if !ok || at < 0 {
		return Entry{}, false
	}
	return entry(members[at], sheetOf(file).Types[t.String()][name]), true
}

// All describes the fields of a struct in their order; none of a type that is in no record.
func All(t reflect.Type) []Entry {
	file, ok := fileOf(t)
	if !ok {
		return nil
	}
	members, _ := text.Members(t) // of types that the reader knows
	written := sheetOf(file)
	out := make([]Entry, len(members))
	for i, m := range members {
		out[i] = entry(m, written.Types[t.String()][m.Name])
	}
	return out
}

// Under describes the field at a place in a record of a kind, such as
// routing[0].piece_min of parts. Places in lists and names in tables may be left out.
func Under(kind, path string) (Entry, bool) {
	t, fields, ok := walk(kind, path)
	if !ok {
		return Entry{}, false
	}
	e, ok := Of(t, fields[len(fields)-1])
	if here, special := sheetOf(kind).Paths[strings.Join(fields, ".")]; ok && special {
		e = entry(e.Member, here.over(written(t, e.Name)))
	}
	return e, ok
}

// walk follows a path from field to field: the struct of the last one and the names of all.
func walk(kind, path string) (in reflect.Type, fields []string, ok bool) {
	k, ok := record.KindOf(kind)
	steps, err := text.Steps(path)
	if !ok || err != nil {
		return nil, nil, false
	}
	at := k.Type
	for _, s := range steps {
		for at.Kind() == reflect.Pointer || at.Kind() == reflect.Slice && s.Index < 0 {
			at = at.Elem()
		}
		if at.Kind() == reflect.Slice || at.Kind() == reflect.Map {
			at = at.Elem()
			continue
		}
		if at.Kind() != reflect.Struct {
			return nil, nil, false
		}
		f := record.MemberOf(at, s.Name)
		if f < 0 {
			return nil, nil, false
		}
		in, at, fields = at, at.Field(f).Type, append(fields, s.Name)
	}
	return in, fields, in != nil
}

// entry joins what follows from the type with what is written.
func entry(m text.Member, w description) Entry {
	stem, unit := Unit(m.Name)
	e := Entry{Member: m, Label: cmp.Or(w.Label, strings.ReplaceAll(stem, "_", " ")), Unit: cmp.Or(w.Unit, unit),
		About: w.About, Example: w.Example, Refers: w.Refers, Rank: w.Rank, Group: w.Group}
	if e.Rank == "" {
		e.Rank = Usual
		if m.Required {
			e.Rank = First
		}
	}
	if words, ok := reflect.Zero(m.Leaf).Interface().(text.Words); ok {
		says := sheetOf(wordsFile).Words[m.Leaf.String()]
		for _, w := range words.Values() {
			e.Words = append(e.Words, Word{w, says[w]})
		}
		e.Example = cmp.Or(e.Example, e.Words[0].Value)
	}
	if m.Shape == text.ShapeYesNo {
		e.Example = cmp.Or(e.Example, "true")
	}
	return e
}

// Heads are the names that a column of the field may have in a table, in small letters.
func (e Entry) Heads() []string {
	out := []string{e.Name, strings.ToLower(e.Label)}
	if e.Unit != "" {
		unit := strings.ToLower(e.Unit)
		out = append(out, out[1]+", "+unit, out[1]+" "+unit, out[1]+" ("+unit+")")
	}
	return out
}

// Value reads the example.
func (e Entry) Value() (reflect.Value, error) {
	one := reflect.New(reflect.StructOf([]reflect.StructField{{Name: "Value", Type: e.Type, Tag: reflect.StructTag(`book:"` + e.Name + `"`)}}))
	_, err := text.Decode([]byte(e.Name+": "+e.Example+"\n"), one.Interface())
	return one.Elem().Field(0), err
}

// Within describes the fields of the record at a place, in their order; none where there
// is no record.
func Within(kind, path string) []Entry {
	e, ok := Under(kind, path)
	if !ok {
		return nil
	}
	out := All(e.Leaf)
	for i := range out {
		out[i], _ = Under(kind, text.Field(path, out[i].Name))
	}
	return out
}

// Takes says what a field takes: the shape of its value, its bounds, its unit and whose
// ids it names.
func (e Entry) Takes() string {
	out := string(e.Shape)
	switch {
	case e.Entry == text.ShapeID && e.Shape == text.ShapeList:
		out = "list of ids"
	case e.Entry != "" && e.Shape == text.ShapeList:
		out = "list of " + string(e.Entry) + "s"
	case e.Shape == text.ShapeWord:
		out = "one of " + strconv.Itoa(len(e.Words)) + " words"
	}
	if len(e.Refers) > 0 {
		out += " of " + strings.Join(e.Refers, " or ")
	}
	for _, more := range []string{e.Bounds, e.Unit} {
		if more != "" {
			out += ", " + more
		}
	}
	return out
}

// units are the units that names of fields end in; of two that fit, the longer goes first.
var units = []struct{ suffix, unit string }{
	{"_per_dm2_um", "money per dm² and µm"}, {"_per_dm2", "money per dm²"}, {"_per_kwh", "money per kWh"},
	{"_per_m2_year", "money per m² and year"}, {"_per_kg", "money per kg"}, {"_per_g", "money per g"}, {"_per_h", "money per h"},
	{"_per_piece", "money per piece"}, {"_per_year", "per year"}, {"_per_min", "1/min"}, {"_per_diameter", "× diameter"},
	{"_cm2_min", "cm²/min"}, {"_mm_min", "mm/min"}, {"_m_min", "m/min"}, {"_m_s2", "m/s²"}, {"_um_h", "µm/h"}, {"_a_dm2", "A/dm²"},
	{"_n_mm2", "N/mm²"}, {"_g_cm3", "g/cm³"}, {"_kg_m", "kg/m"},
	{"_kw", "kW"}, {"_nm", "Nm"}, {"_deg", "°"}, {"_mm2", "mm²"}, {"_m2", "m²"}, {"_dm2", "dm²"}, {"_dm3", "dm³"},
	{"_um", "µm"}, {"_mm", "mm"}, {"_min", "min"}, {"_days", "days"}, {"_g", "g"}, {"_s", "s"},
}

// Unit takes the unit off the end of a field's name; the unit is empty where the name
// has none.
func Unit(name string) (stem, unit string) {
	for _, u := range units {
		if stem, ok := strings.CutSuffix(name, u.suffix); ok {
			return stem, u.unit
		}
	}
	return name, ""
}
