package recordform_test

import (
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
	"kerfbook/web/form/recordform"
	"kerfbook/web/frame"
	"kerfbook/web/notation"
)

func kind(t *testing.T, name string) record.Kind {
	t.Helper()
	k, ok := record.KindOf(name)
	if !ok {
		t.Fatalf("no kind %s", name)
	}
	return k
}

func sheet(fields ...string) recordform.Sheet {
	s := recordform.Sheet{Typed: recordform.Typed{}, Open: recordform.Typed{}}
	for _, f := range fields {
		at, value, _ := strings.Cut(f, "=")
		s.Typed[at] = value
	}
	return s
}

// Buttons of a list keep its entries whole and in their order.
func TestLists(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ does, want, at string }{
		{"add breaks", "1 10, 2 20, 3 30, -", "breaks[3]"},
		{"copy breaks[1]", "1 10, 2 20, 2 20, 3 30", "breaks[2]"},
		{"up breaks[2]", "1 10, 3 30, 2 20", "breaks[1]"},
		{"up breaks[0]", "1 10, 2 20, 3 30", "breaks[0]"},
		{"down breaks[0]", "2 20, 1 10, 3 30", "breaks[1]"},
		{"down breaks[2]", "1 10, 2 20, 3 30", "breaks[2]"},
		{"remove breaks[0]", "2 20, 3 30", "breaks"},
		{"remove breaks[9]", "1 10, 2 20, 3 30", ""},
		{"remove breaks", "1 10, 2 20, 3 30", ""},
		{"burn breaks[1]", "1 10, 2 20, 3 30", ""},
		{"add breaks[99999999].x", "1 10, 2 20, 3 30", "breaks[99999999].x[0]"},
	} {
		s := sheet("for=A", "breaks[0].from=1", "breaks[0].price=10", "breaks[1].from=2", "breaks[1].price=20", "breaks[2].from=3", "breaks[2].price=30")
		at := s.Do(c.does)
		var got []string
		for i := range s.Typed.Count("breaks") {
			entry := text.Index("breaks", i)
			got = append(got, strings.TrimSpace(s.Typed[entry+".from"]+" "+s.Typed[entry+".price"]))
			if got[i] == "" {
				got[i] = "-"
			}
		}
		if strings.Join(got, ", ") != c.want || at != c.at || s.Typed["for"] != "A" {
			t.Errorf("%s: %s at %s, want %s at %s", c.does, strings.Join(got, ", "), at, c.want, c.at)
		}
	}
}

// What is open stays open where its entry moves to.
func TestOpenEntriesMove(t *testing.T) {
	t.Parallel()
	s := sheet("routing[0].name=a", "routing[1].name=b", "routing[1].features[0].name=c")
	s.Do("open routing[1]")
	s.Do("open routing[1].features[0]")
	s.Do("up routing[1]")
	if s.Typed["routing[0].features[0].name"] != "c" || !slices.Equal(slices.Sorted(maps.Keys(s.Open)), []string{"routing[0]", "routing[0].features[0]"}) {
		t.Errorf("%v %v", s.Typed, s.Open)
	}
	s.Do("close routing[0].features[0]")
	if len(s.Open) != 1 {
		t.Errorf("%v", s.Open)
	}
}

// What follows from the rest need not be typed; an entry in which nothing is typed is none.
func TestTidy(t *testing.T) {
	t.Parallel()
	s := sheet("name=brass knob", "kind=made", "routing[0]=", "routing[1].kind=machining", "routing[2].name=wash", "routing[2].number=45", "routing[3].name=pack",
		"routing[1].features[0].kind=drill", "routing[1].features[1].kind=drill", "routing[1].features[2]=")
	s.Tidy(kind(t, "parts"))
	for at, want := range map[string]string{"number": "BRASS-KNOB", "routing[0].name": "machining", "routing[0].number": "50", "routing[1].number": "45", "routing[2].number": "60",
		"routing[0].features[0].id": "drill", "routing[0].features[1].id": "drill-2", "routing[0].features[1].name": "drill"} {
		if s.Typed[at] != want {
			t.Errorf("%s is %q, want %q", at, s.Typed[at], want)
		}
	}
	if s.Typed.Count("routing") != 3 || s.Typed.Count("routing[0].features") != 2 {
		t.Errorf("%v", s.Typed)
	}
}

// TestTidyNamesATrimOnce: a trim of another product may be called the same.
func TestTidyNamesATrimOnce(t *testing.T) {
	t.Parallel()
	s := sheet("number=RING", "name=ring", "trims[0].name=Plain", "trims[1].name=plain", "trims[2].name=glow")
	s.Book = &book.Book{Products: []bom.Product{{Number: "LAMP", Trims: []bom.Trim{{ID: "plain"}, {ID: "plain-2"}}}}}
	s.Tidy(kind(t, "products"))
	for at, want := range map[string]string{"trims[0].id": "plain-3", "trims[1].id": "plain-4", "trims[2].id": "glow"} {
		if s.Typed[at] != want {
			t.Errorf("%s is %q, want %q", at, s.Typed[at], want)
		}
	}
}

// Numbers and days are read as the person writes them; ranges in one field or in several.
func TestTypedAsPeopleWrite(t *testing.T) {
	t.Parallel()
	s := sheet("number=A-1", "name=no", "kind=made", "mass_g=0,3 kg", "origin=the Netherlands", "routing[0].number=10", "routing[0].name=x", "routing[0].kind=manual",
		"routing[0].setup_min=1 h 20", "routing[0].piece_min=1,5..2..2,5 pert", "routing[0].handling_min=2", "routing[0].handling_min.low=1,5", "routing[0].handling_min.high=3", "routing[0].yield=95 %")
	value, faults := s.Typed.Read(kind(t, "parts"), notation.Style{Comma: true})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	want := "number: A-1\nname: \"no\"\nkind: made\nmass_g: 300\nrouting:\n  - number: 10\n    name: x\n    kind: manual\n    setup_min: 80\n    piece_min: {low: 1.5, likely: 2, high: 2.5, shape: pert}\n    handling_min: {low: 1.5, likely: 2, high: 3}\n    yield: 0.95\norigin: \"NL\"\n"
	if written, err := kind(t, "parts").Write(value); err != nil || string(written) != want {
		t.Errorf("%s\n%v", written, err)
	}
}

// Every field of every kind refuses what it cannot be: the fault stands at the field, in the
// list at the top, and what was typed is kept.
func TestEveryFieldRefuses(t *testing.T) {
	t.Parallel()
	for _, k := range record.Kinds() {
		full := reflect.New(k.Type).Elem()
		fill(full, "")
		bad := badFor(k.Type, "")
		if len(bad) < 3 {
			t.Errorf("%s: %d fields are tried", k.Name, len(bad))
		}
		for places := range slices.Chunk(slices.Sorted(maps.Keys(bad)), 40) {
			s := recordform.Sheet{Typed: recordform.Of(full, notation.Style{}), Open: recordform.Typed{}}
			for _, at := range places {
				s.Typed[at] = bad[at]
			}
			_, faults := s.Typed.Read(k, notation.Style{})
			form := s.Layout(recordform.Shown{Kind: k, Faults: faults, Picks: func([]string) []frame.Option { return nil }})
			for _, at := range places {
				switch in := inputOf(form.Groups, at); {
				case in == nil:
					t.Errorf("%s: %s is not on the page", k.Name, at)
				case in.Error == "" || !strings.Contains(in.Value, bad[at]):
					t.Errorf("%s: %s with %.40q: %q stands there, error %q", k.Name, at, bad[at], in.Value, in.Error)
				case form.Problems.Of(at) == "":
					t.Errorf("%s: %s is not told at the top: %v", k.Name, at, form.Problems)
				}
			}
		}
	}
}

// badFor gives what each field of a struct cannot be, by place.
func badFor(t reflect.Type, place string) map[string]string {
	out := map[string]string{}
	members, _ := text.Members(t)
	for _, m := range members {
		at := text.Field(place, m.Name)
		switch m.Shape {
		case text.ShapeRecord:
			maps.Copy(out, badFor(m.Leaf, at))
		case text.ShapeList:
			if m.Entry == text.ShapeRecord {
				maps.Copy(out, badFor(m.Leaf, text.Index(at, 1)))
			} else if m.Entry == text.ShapeID {
				out[at] = "A-1, not an id!"
			}
		case text.ShapeTable:
			out[text.Key(at, "1.5")] = "not an id!"
		case text.ShapeText:
			out[at] = strings.Repeat("x", text.MaxText+1)
		case text.ShapeYesNo: // a box is ticked or not
		default:
			out[at] = "what is this"
		}
	}
	return out
}

// inputOf finds the field of a place on the page.
func inputOf(groups []recordform.Group, at string) *recordform.Input {
	for _, g := range groups {
		for _, it := range append(slices.Clone(g.Items), g.Rare...) {
			switch {
			case it.Field != nil && it.Field.Name == at:
				return it.Field
			case it.Inner != nil:
				if in := inputOf([]recordform.Group{*it.Inner}, at); in != nil {
					return in
				}
			case it.List != nil:
				for _, r := range it.List.Rows {
					for i := range r.Cells {
						if r.Cells[i].Name == at {
							return &r.Cells[i]
						}
					}
					if r.Rest != nil {
						if in := inputOf([]recordform.Group{*r.Rest}, at); in != nil {
							return in
						}
					}
				}
			}
		}
	}
	return nil
}

// A feature and a tool show the dimensions of their kind, and others only where they are typed.
func TestKindsTakeTheirDimensions(t *testing.T) {
	t.Parallel()
	s := sheet("number=A", "name=a", "kind=made", "routing[0].number=10", "routing[0].name=x", "routing[0].kind=machining",
		"routing[0].features[0].id=d", "routing[0].features[0].name=d", "routing[0].features[0].kind=drill", "routing[0].features[0].width_mm=3")
	s.Do("open routing[0]")
	s.Do("open routing[0].features[0]")
	form := s.Layout(recordform.Shown{Kind: kind(t, "parts"), Picks: func([]string) []frame.Option { return nil }})
	for name, want := range map[string]bool{"diameter_mm": true, "depth_mm": true, "width_mm": true, "corner_radius_mm": false} {
		if got := inputOf(form.Groups, "routing[0].features[0]."+name) != nil; got != want {
			t.Errorf("a drilled hole shows %s: %v", name, got)
		}
	}
}

// A table of a spreadsheet is taken by the names of fields or by their labels. With a fault
// nothing is taken.
func TestPaste(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct{ kind, list, table, want, wrong string }{
		"labels":        {"offers", "breaks", "From\tPrice\n1\t4.20\n100\t3,10\n", "3.10", ""},
		"names":         {"offers", "breaks", "from;price\n1;4.20\n100;3.10\n", "3.10", ""},
		"unknown":       {"offers", "breaks", "from,prize\n1,4\n", "", `line 1, column 2 (prize): there is no column of this name; did you mean price?`},
		"fault":         {"offers", "breaks", "from,price\n1,4\n2,much\n", "", "line 3, column 2 (price)"},
		"too many":      {"offers", "breaks", "from,price\n1,4,5\n", "", "line 2: the row has 3 cells"},
		"nothing":       {"offers", "breaks", " ", "", "empty"},
		"no list":       {"offers", "for", "from\n1\n", "", "no such list"},
		"operations":    {"parts", "routing", "operation\tfeature\tname\tkind\tdiameter_mm\tdepth_mm\n10\t\tturn\tmachining\t\t\n10\th1\thole\tdrill\t5\t12\n", "12", ""},
		"bad operation": {"parts", "routing", "operation,name,kind\nten,turn,machining\n", "", "no number of an operation"},
	} {
		s := sheet("for=A-1", "supplier=A-1", "unit=piece", "currency=EUR")
		if c.kind == "parts" {
			s = sheet("number=A", "name=a", "kind=made")
		}
		before := maps.Clone(s.Typed)
		wrong := strings.Join(s.Paste(kind(t, c.kind), c.list, c.table, notation.Style{}), "; ")
		if (wrong == "") != (c.wrong == "") || !strings.Contains(wrong, c.wrong) {
			t.Errorf("%s: %q, want %q", name, wrong, c.wrong)
		}
		switch {
		case c.wrong != "":
			if !maps.Equal(s.Typed, before) {
				t.Errorf("%s: something was taken: %v", name, s.Typed)
			}
		default:
			value, faults := s.Typed.Read(kind(t, c.kind), notation.Style{})
			written, _ := kind(t, c.kind).Write(value)
			if len(faults) > 0 || !strings.Contains(string(written), c.want) {
				t.Errorf("%s: %v\n%s", name, faults, written)
			}
		}
	}
}

// The words that a field takes are those of its type, and one that is none is kept to be seen.
func TestWordsAreKept(t *testing.T) {
	t.Parallel()
	s := sheet("number=A", "name=a", "kind=maid")
	form := s.Layout(recordform.Shown{Kind: kind(t, "parts"), Picks: func([]string) []frame.Option { return nil }})
	in := inputOf(form.Groups, "kind")
	var values []string
	for _, o := range in.Options {
		values = append(values, o.Value)
	}
	if want := append(append([]string{""}, bom.PartKind("").Values()...), "maid"); !slices.Equal(values, want) {
		t.Errorf("%v, want %v", values, want)
	}
}
