package record

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/text"
)

func TestPathsOfRecords(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		path, kind string
		position   int
		rest       string
		ok         bool
	}{
		{"parts[12].routing[0].setup_min", "parts", 12, "routing[0].setup_min", true},
		{"parts[12]", "parts", 12, "", true},
		{"rules.taxes[0].rate", "rules", 0, "taxes[0].rate", true},
		{"currency", "shop", 0, "currency", true},
		{"rate_cards", "", 0, "", false},
		{"nothing[1].x", "", 0, "", false},
		{"", "", 0, "", false},
		{"parts.x", "", 0, "", false},
		{"parts[x]", "", 0, "", false},
	} {
		k, position, rest, ok := Locate(c.path)
		if ok != c.ok || ok && (k.Name != c.kind || position != c.position || rest != c.rest) {
			t.Errorf("%s is %s %d %q %v", c.path, k.Name, position, rest, ok)
		}
	}
}

func TestSetFigure(t *testing.T) {
	t.Parallel()
	type inner struct {
		Rate *bom.Number `book:"rate"`
	}
	type outer struct {
		Name  string                     `book:"name"`
		Days  int                        `book:"days"`
		Plain decimal.Decimal            `book:"plain"`
		List  []inner                    `book:"list"`
		Table map[string]inner           `book:"table"`
		Deep  map[bom.ID]decimal.Decimal `book:"deep"`
	}
	one := bom.Whole(1)
	record := outer{Name: "x", List: []inner{{&one}, {}}, Table: map[string]inner{`a"].b`: {&one}}, Deep: map[bom.ID]decimal.Decimal{"k.1": {}}}
	for _, c := range []struct{ path, fault string }{
		{"days", ""}, {"plain", ""}, {"list[0].rate", ""}, {`table["a\"].b"].rate`, ""}, {`deep["k.1"]`, ""},
		{"list[1].rate", "there is no figure"}, {"list[2].rate", "no such place"}, {"list[-1].rate", "no such place"}, {"name", "this is no figure"},
		{"nothing", "no such place"}, {"", "this is no figure"}, {"list[x]", "no place"}, {`deep["z"]`, "no entry"}, {"list", "this is no figure"},
		{"plain.low", "in a figure"}, {`table["a`, "no place"},
	} {
		err := SetFigure(reflect.ValueOf(&record).Elem(), c.path, decimal.NewFromInt(7))
		if (err == nil) != (c.fault == "") || err != nil && !strings.Contains(err.Error(), c.fault) {
			t.Errorf("%s: %v, want %q", c.path, err, c.fault)
		}
	}
	got := fmt.Sprint(record.Days, record.Plain, record.List[0].Rate.High, record.Table[`a"].b`].Rate.Low, record.Deep["k.1"])
	if got != "7 7 7 7 7" {
		t.Errorf("the figures are now %s", got)
	}
	if err := SetFigure(reflect.ValueOf(&record).Elem(), "days", decimal.New(15, -1)); err == nil {
		t.Error("1.5 days were taken")
	}
}

// A range keeps its ends, shape and deviation when its likely value is set.
func TestSetLikelyOfARange(t *testing.T) {
	t.Parallel()
	dec := decimal.RequireFromString
	before := bom.Number{Low: dec("4.2"), Likely: dec("4.8"), High: dec("6.10"), IsRange: true, Shape: bom.Normal, SD: dec("0.4")}
	record := struct {
		Minutes *bom.Number `book:"cutting_min"`
	}{&before}
	for value, fault := range map[string]string{
		"4.2": "", "5.55": "", "6.1": "", "4.19": "4.19 lies outside the estimate, which is between 4.2 and 6.10", "6.11": "outside the estimate", "-1": "outside",
	} {
		want := *record.Minutes
		if fault == "" {
			want.Likely = dec(value)
		}
		err := SetFigure(reflect.ValueOf(&record).Elem(), "cutting_min", dec(value))
		if (err == nil) != (fault == "") || err != nil && !strings.Contains(err.Error(), fault) {
			t.Errorf("%s: %v, want %q", value, err, fault)
		}
		if !record.Minutes.Equal(want) {
			t.Errorf("%s: the range is now %+v, want %+v", value, *record.Minutes, want)
		}
	}
}

// TestKinds wants each record of a kind to have an id, and every field of a book in
// some kind.
func TestKinds(t *testing.T) {
	t.Parallel()
	for _, k := range Kinds() {
		if ids, _ := k.Identify(reflect.New(k.Type).Elem()); len(ids) == 0 {
			t.Errorf("records of kind %s have no id", k.Name)
		}
	}
	whole := reflect.TypeFor[book.Book]()
	for i := range whole.NumField() {
		name := FieldName(whole.Field(i))
		if _, ok := KindOf(name); !ok && name != "" && name != "kerfbook" && MemberOf(reflect.TypeFor[Shop](), name) < 0 {
			t.Errorf("the field %s of a book is in no record", name)
		}
	}
}

func TestReadSeveral(t *testing.T) {
	t.Parallel()
	sent, _, err := ReadSeveral([]byte("records:\n  suppliers: [{id: A, name: a}]\n  offers:\n    - {for: X, supplier: A, unit: piece, currency: EUR, breaks: [{from: 1, price: 2}], valid_until: 2026-01-01}\nremove: {parts: [P-1, P-2]}\nif_match: {parts/P-1: 3-x, offers/X.A.2026-01-01: \"\"}\n"))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, s := range sent {
		got = append(got, fmt.Sprint(s.Kind.Name, " ", s.ID, " ", s.Removed, " ", s.Version, " ", s.Path))
	}
	want := []string{"suppliers A false  records.suppliers[0]", "offers X.A.2026-01-01 false  records.offers[0]",
		"parts P-1 true 3-x remove.parts[0]", "parts P-2 true  remove.parts[1]"}
	if !slices.Equal(got, want) {
		t.Errorf("%q\nwant %q", got, want)
	}
	for text, fault := range map[string]string{
		"records: {supliers: []}":                                            "did you mean suppliers",
		"records: {suppliers: [{id: A}]}":                                    "records.suppliers[0].name",
		"records: {suppliers: [{id: A, name: a}, {id: A, name: b}]}":         "records.suppliers[1]: suppliers/A is named twice",
		"records: {suppliers: [{id: A, name: a}]}\nremove: {suppliers: [A]}": "remove.suppliers[0]: suppliers/A is named twice",
		"remove: {parts: [A]}\nif_match: {parts/B: x}":                       "no such record",
		"records: {}": "nothing to do",
	} {
		if _, _, err := ReadSeveral([]byte(text)); err == nil || !strings.Contains(err.Error(), fault) {
			t.Errorf("%s: %v, want %q", text, err, fault)
		}
	}
}

// A number that nobody has entered is not there for programs either: a 0 that they send
// back would be entered.
func TestMissingNumberIsNotZero(t *testing.T) {
	t.Parallel()
	k, _ := KindOf("stocks")
	value, _, err := k.Read([]byte("id: A\nname: a\nmaterial: B\nform: bar\n"))
	if err != nil {
		t.Fatal(err)
	}
	again, _, err := k.Read(JSON(value))
	if err != nil || len(text.Missing(again.Interface())) != 1 {
		t.Errorf("%s: %v", JSON(value), err)
	}
}
