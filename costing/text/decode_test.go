package text_test

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/text"

	"github.com/shopspring/decimal"
)

// lamp has a field of every kind that can be read.
type lamp struct {
	Number    bom.ID            `book:"number,required"`
	Name      string            `book:"name,required"`
	Note      string            `book:"note"`
	Kind      bom.PartKind      `book:"kind"`
	Origin    bom.Country       `book:"origin"`
	Since     bom.Date          `book:"since"`
	Sold      bool              `book:"sold"`
	Days      int               `book:"days,min=0"`
	LengthMM  *bom.Number       `book:"length_mm,over=0"`
	SetupMin  *bom.Number       `book:"setup_min,min=0"`
	Share     *bom.Number       `book:"share,min=0,under=1"`
	Yield     *bom.Number       `book:"yield,over=0,max=1"`
	Pieces    *bom.Number       `book:"pieces,over=0,whole"`
	MOQ       *bom.Number       `book:"moq,over=0,single"`
	Exact     decimal.Decimal   `book:"exact"`
	Parts     []part            `book:"parts"`
	Notes     []string          `book:"notes"`
	Choices   map[bom.ID]bom.ID `book:"choices"`
	When      []bom.When        `book:"when"`
	Countries []bom.Country     `book:"countries"`
	Shelf     *shelf            `book:"shelf"`
	Unread    string
}

type part struct {
	Part     bom.ID     `book:"part,required"`
	Quantity bom.Number `book:"quantity,required,over=0"`
}

type shelf struct {
	Rows []part `book:"rows"`
}

const head = "number: L-1\nname: Lamp\n" // the required fields; two lines

func TestDecodeEveryKind(t *testing.T) {
	t.Parallel()
	var got lamp
	places, err := text.Decode([]byte("\xEF\xBB\xBF"+`{"number": "L-1", "name": " Lamp ", "kind": "made", "origin": "NO", "since": "2026-11-25",
	"sold": true, "days": 12, "length_mm": "43.20", "setup_min": {"low": 1, "likely": "2.0", "high": 3}, "exact": -0.5,
	"parts": [{"part": "010", "quantity": 2}], "notes": ["a\/b \u00e9 \ud83d\udca1"], "choices": {"face": "mirror"}, "when": [{"face": ["a", "b"]}],
	"countries": ["PT"], "shelf": {}}`), &got)
	if err != nil {
		t.Fatal(err)
	}
	figure := func(s string) decimal.Decimal { return decimal.RequireFromString(s) }
	length := bom.Exactly(figure("43.20"))
	setup := bom.Number{Low: figure("1"), Likely: figure("2.0"), High: figure("3"), IsRange: true}
	want := lamp{Number: "L-1", Name: "Lamp", Kind: bom.Made, Origin: "NO", Since: "2026-11-25", Sold: true, Days: 12,
		LengthMM: &length, SetupMin: &setup, Exact: figure("-0.5"), Parts: []part{{"010", bom.Whole(2)}},
		Notes: []string{"a/b é 💡"}, Choices: map[bom.ID]bom.ID{"face": "mirror"}, When: []bom.When{{"face": {"a", "b"}}},
		Countries: []bom.Country{"PT"}, Shelf: &shelf{}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if at := places["parts[0].quantity"]; at != (text.Position{Line: 3, Column: 40}) {
		t.Errorf("quantity is placed at %v", at)
	}
	if at := places.Of("parts[0].nothing.here[3]"); at != places["parts[0]"] {
		t.Errorf("a path without a value is placed at %v, not at the record around it", at)
	}
}

func TestDecodeErrors(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, written string
		line, column  int
		path          string
		message       string
	}{
		{"unknown field", head + "nmae2: x", 3, 1, "nmae2", "unknown field"},
		{"nearest name", head + "lenght_mm: 2", 3, 1, "lenght_mm", "did you mean length_mm?"},
		{"no near name", head + "wattage: 2", 3, 1, "wattage", "known here are number, name"},
		{"inches", head + "length_in: 2", 3, 1, "length_in", "lengths are in mm: convert the figure and write length_mm"},
		{"centimetres", head + "length_cm: 2", 3, 1, "length_cm", "write length_mm"},
		{"no unit", head + "length: 2", 3, 1, "length", "write length_mm"},
		{"hours", head + "setup_h: 2", 3, 1, "setup_h", "times are in min"},
		{"wrong unit", head + "length_mm: 43.2 in", 3, 12, "length_mm", "lengths are in mm"},
		{"field of the struct without a tag", head + "Unread: x", 3, 1, "Unread", "unknown field"},
		{"duplicate key", head + "parts:\n  - part: A\n    quantity: 1\n    part: B", 6, 5, "parts[0].part", "given twice; the first is on line 4"},
		{"duplicate key of a table", head + "choices: {a: b, a: c}", 3, 17, "choices.a", "given twice"},
		{"duplicate of an unknown key", head + "x: 1\nx: 1", 4, 1, "x", "given twice"},
		{"missing field", "number: L-1", 1, 1, "name", "name is missing; add this field"},
		{"missing field of an entry", head + "parts:\n  - {part: A}", 4, 5, "parts[0].quantity", "missing"},
		{"blank text", "number: L-1\nname: '  '", 2, 7, "name", "the text is empty"},
		{"list for a value", head + "kind: [made]", 3, 7, "kind", "a single value is expected here, not a list"},
		{"value for a list", head + "parts: A", 3, 8, "parts", "not a single value"},
		{"mapping for a list", head + "parts: {part: A}", 3, 8, "parts", "not a mapping"},
		{"list for a record", head + "shelf: []", 3, 8, "shelf", "not a list"},
		{"list for a number", head + "share: [1]", 3, 8, "share", "or a range"},
		{"list at the top", "- number: 1", 1, 1, "", "not a list"},
		{"list as a key", head + "? [a]\n: 1", 3, 3, "", "a name is expected"},
		{"anchor", head + "note: &a x", 3, 7, "note", "the anchor &a is not read"},
		{"alias", head + "note: &a x\nkind: *a", 4, 7, "kind", "the alias *a is not read"},
		{"unknown alias", head + "note: *a", 3, 7, "", "anchors (&), aliases (*) and tags (!) are not read"},
		{"merge key", head + "parts:\n  - <<: {part: A}\n    quantity: 1", 4, 5, "parts[0]", "the merge key << is not read"},
		{"tag", head + "note: !!str x", 3, 7, "note", "the tag !!str is not read"},
		{"tag of an unknown field", head + "x: !y z", 3, 4, "x", "the tag !y is not read"},
		{"second document", head + "---\nnumber: 2", 3, 1, "", "a second document begins"},
		{"empty second document", head + "---\n", 3, 1, "", "a second document begins"},
		{"directive", "%YAML 1.2\n---\n" + head, 1, 1, "", "leave out lines that begin with %"},
		{"text after JSON", "{\"number\": 1}\nx", 2, 1, "", "the text should end before this"},
		{"not UTF-8", head + "note: \xff", 3, 7, "", "not UTF-8"},
		{"UTF-16", "\xff\xfea\x00", 1, 1, "", "not UTF-8"},
		{"NUL", head + "note: é\x00", 3, 8, "", "NUL"},
		{"control character", head + "note: a\ab", 3, 8, "", "U+0007"},
		{"line separator", head + "note: a\u2028b", 3, 8, "", "U+2028"},
		{"escaped control character", head + `note: "a\tb"`, 3, 7, "note", "U+0009"},
		{"text of several lines", head + "note: |\n  a\n  b", 3, 7, "note", "U+000A"},
		{"too deep", head + "x: " + strings.Repeat("[", 33) + strings.Repeat("]", 33), 3, 35, "x" + strings.Repeat("[0]", 31), "nested deeper than 32 levels"},
		{"empty", "", 1, 1, "", "the text is empty"},
		{"only comments", "# nothing\n", 1, 1, "", "the text is empty"},
		{"nothing but a document mark", "---\n", 2, 1, "", "no value is given"},
		{"tab", "number: L-1\n\tname: x", 2, 2, "", "indent with spaces"},
		{"second colon", head + "note: a: b", 3, 1, "", "a second colon"},
		{"open quote", "number: L-1\nname: \"x\nkind: made\n", 2, 1, "", "not closed"},
		{"open bracket", head + "notes: [a, b\nkind: made", 4, 1, "", "closing bracket"},
		{"odd indentation", head + "parts:\n  - part: A\n   quantity: 1", 5, 4, "", "does not fit the l"},
		{"null", head + "note: null", 3, 7, "note", "no value is given"},
		{"tilde", head + "origin: ~", 3, 9, "origin", "no value is given"},
		{"nothing", head + "kind:\ndays: 1", 3, 6, "kind", "no value is given"},
		{"null in a list", head + "notes: [a, ~]", 3, 12, "notes[1]", "no value is given"},
		{"word", head + "kind: mad", 3, 7, "kind", `"mad" is not one of: made, bought, assembly; did you mean made?`},
		{"bare NO", head + "origin: NO", 3, 9, "origin", `write "NO" in quotes`},
		{"bare no", head + "origin: no", 3, 9, "origin", `write "NO" in quotes`},
		{"bare NO in a list", head + "countries: [SE, NO, DK]", 3, 17, "countries[1]", `write "NO" in quotes`},
		{"small country", head + "origin: pt", 3, 9, "origin", "write PT in capitals"},
		{"unknown country", head + "origin: XX", 3, 9, "origin", "ISO 3166-1"},
		{"truth", head + "sold: yes", 3, 7, "sold", "neither true nor false"},
		{"quoted truth", head + `sold: "true"`, 3, 7, "sold", "without quotes"},
		{"day", head + "since: 2026-02-30", 3, 8, "since", "is not a day such as"},
		{"name", head + "choices: {a b: c}", 3, 11, `choices["a b"]`, "is not a name of letters"},
		{"empty list in a table", head + "when: [{a: []}]", 3, 12, "when[0].a", "the list is empty"},
		{"half a day", head + "days: 1.5", 3, 7, "days", "must be a whole number"},
		{"many days", head + "days: 1000000001", 3, 7, "days", "too large"},
		{"million digits", head + "length_mm: " + strings.Repeat("7", 1000000), 3, 12, "", "no name, figure or text is that long"},
		{"long text", head + "note: " + strings.Repeat("é", 501), 3, 7, "note", "501 characters; at most 500"},
		{"negative", head + "setup_min: -4", 3, 12, "setup_min", "-4 is too small; it must be 0 or more"},
		{"negative count", head + "days: -1", 3, 7, "days", "it must be 0 or more"},
		{"nothing to multiply by", head + "parts: [{part: A, quantity: 0}]", 3, 29, "parts[0].quantity", "must be more than 0"},
		{"yield 0", head + "yield: 0.00", 3, 8, "yield", "0.00 is too small; it must be more than 0"},
		{"yield above 1", head + "yield: 1.01", 3, 8, "yield", "it must be 1 or less"},
		{"whole share", head + "share: 1", 3, 8, "share", "it must be less than 1"},
		{"piece and a half", head + "pieces: 1.5", 3, 9, "pieces", "must be a whole number"},
		{"bound in a range", head + "yield: {low: 0, likely: 0.9, high: 1}", 3, 14, "yield.low", "must be more than 0"},
		{"range of a count", head + "pieces: {low: 1, likely: 2, high: 3}", 3, 9, "pieces", "a count is one whole number"},
		{"range of a least quantity", head + "moq: {low: 1, likely: 2, high: 3}", 3, 6, "moq", "one figure is expected here, not a range"},
		{"range of a single value", head + "exact: {low: 1, likely: 2, high: 3}", 3, 8, "exact", "a single value is expected"},
		{"falling range", head + "setup_min: {low: 2, likely: 1.50, high: 3}", 3, 18, "setup_min.low", "low 2 is above likely 1.50; low, likely and high must not fall"},
		{"falling end of a range", head + "setup_min: {low: 2, likely: 4, high: 3}", 3, 38, "setup_min.high", "high 3 is below likely 4"},
		{"strange shape", head + "setup_min: {low: 1, likely: 2, high: 3, shape: pret}", 3, 48, "setup_min.shape", "is not one of: triangular, pert, uniform, normal; did you mean pert?"},
		{"blank shape", head + "setup_min: {low: 1, likely: 2, high: 3, shape: ''}", 3, 48, "setup_min.shape", "is not one of"},
		{"no deviation", head + "setup_min: {low: 1, likely: 2, high: 3, shape: normal}", 3, 48, "setup_min.sd", "a normal shape needs sd"},
		{"deviation without a shape", head + "setup_min: {low: 1, likely: 2, high: 3, sd: 0.4}", 3, 45, "setup_min.sd", "this one is triangular; leave sd out, or write shape: normal"},
		{"deviation of another shape", head + "setup_min: {low: 1, likely: 2, high: 3, sd: 0.4, shape: pert}", 3, 45, "setup_min.sd", "this one is pert"},
		{"deviation 0", head + "setup_min: {low: 1, likely: 2, high: 3, shape: normal, sd: 0}", 3, 60, "setup_min.sd", "must be more than 0"},
		{"negative deviation", head + "setup_min: {low: 1, likely: 2, high: 3, shape: normal, sd: -0.4}", 3, 60, "setup_min.sd", "must be more than 0"},
		{"huge deviation", head + "setup_min: {low: 1, likely: 2, high: 3, shape: normal, sd: 800000.1}", 3, 60, "setup_min.sd", "less than a millionth of a curve with sd 800000.1 lies between low 1 and high 3"},
		{"deviation that is a range", head + "setup_min: {low: 1, likely: 2, high: 3, shape: normal, sd: {low: 1}}", 3, 60, "setup_min.sd", "a single value is expected"},
		{"shape of one figure", head + "setup_min: {likely: 2, shape: pert}", 3, 12, "setup_min.low", "missing"},
		{"half a range", head + "setup_min: {low: 2, high: 3}", 3, 12, "setup_min.likely", "missing"},
		{"strange range", head + "setup_min: {low: 1, likely: 2, high: 3, mean: 2}", 3, 41, "setup_min.mean", "known here are low, likely, high, shape, sd"},
		{"range where a count is meant", head + "days: {low: 1, likely: 2, high: 3}", 3, 7, "days", "a single value is expected"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			found := decodeErrors(t, c.written)
			for _, e := range found.List {
				if e.Line == c.line && e.Column == c.column && e.Path == c.path && strings.Contains(e.Message, c.message) {
					return
				}
			}
			t.Errorf("got\n%v\nwant line %d, column %d: %s: …%s…", found, c.line, c.column, c.path, c.message)
		})
	}
}

func TestDecodeFigures(t *testing.T) {
	t.Parallel()
	for written, message := range map[string]string{
		"1e999999999":              "without an exponent",
		"1e3":                      "without an exponent",
		strings.Repeat("7", 10000): "more than 34 digits",
		"NaN":                      "not a plain decimal",
		".inf":                     "not a plain decimal",
		"-.INF":                    "not a plain decimal",
		"1_000":                    "no underscores",
		"010":                      "leading zero",
		"0x10":                     "number only",
		"0o17":                     "number only",
		"+1":                       "not a plain decimal",
		"12:30:00":                 "number only",
		"43.2 in":                  "lengths are in mm",
		"1,5":                      "point for decimals",
		"1.":                       "not a plain decimal",
		".5":                       "not a plain decimal",
		"true":                     "not a plain decimal",
		"2026-11-25":               "number only",
		"\"\"":                     "a number is missing",
		"１２":                       "not a plain decimal",
	} {
		e := decodeErrors(t, head+"length_mm: "+written).List[0]
		if e.Line != 3 || e.Column != 12 || e.Path != "length_mm" || !strings.Contains(e.Message, message) || len(e.Message) > 200 {
			t.Errorf("%.40q gives %v, want …%s…", written, e, message)
		}
	}
}

func TestDecodeReportsAllErrors(t *testing.T) {
	t.Parallel()
	_, err := text.Decode([]byte("number: L 1\nkind: mad\nlength_in: 3\nparts:\n  - part: A\n    quantity: -1\n  - quantity: 010\norigin: NO\n"), new(lamp))
	var found *text.Errors
	if !errors.As(err, &found) {
		t.Fatalf("got %v", err)
	}
	want := []string{"1:1 name", "1:9 number", "2:7 kind", "3:1 length_in", "6:15 parts[0].quantity", "7:5 parts[1].part", "7:15 parts[1].quantity", "8:9 origin"}
	for i, e := range found.List {
		if got := place(e); i >= len(want) || got != want[i] {
			t.Errorf("error %d is %v", i, e)
		}
	}
	if len(found.List) != len(want) || strings.Count(err.Error(), "\n") != len(want)-1 {
		t.Errorf("%d errors, want %d:\n%v", len(found.List), len(want), err)
	}
}

func TestDecodeListsAHundred(t *testing.T) {
	t.Parallel()
	_, err := text.Decode([]byte(head+"notes: ["+strings.Repeat("~,", 300)+"]"), new(lamp))
	var found *text.Errors
	if !errors.As(err, &found) || len(found.List) != text.MaxListed || found.More != 200 {
		t.Fatalf("got %d errors and %d more", len(found.List), found.More)
	}
	if !strings.HasSuffix(err.Error(), "and at least 200 more") {
		t.Errorf("the text ends %q", err.Error()[len(err.Error())-60:])
	}
}

func TestDecodeKeepsLiteralText(t *testing.T) {
	t.Parallel()
	var got lamp
	_, err := text.Decode([]byte("number: 010\nname: no\nnote: 2026-11-25 # a note\nchoices: {on: off, y: 1e3}\nnotes: [0x10, 'true', yes]\n"), &got)
	if err != nil {
		t.Fatal(err)
	}
	if got.Number != "010" || got.Name != "no" || got.Note != "2026-11-25" || got.Choices["on"] != "off" || got.Choices["y"] != "1e3" || got.Notes[0] != "0x10" {
		t.Errorf("got %+v", got)
	}
}

// A field that has another name now is read by the name it had, told by the one it has,
// and written by that.
func TestDecodeFormerNames(t *testing.T) {
	t.Parallel()
	type bar struct {
		Note string     `book:"note"`
		End  bom.Number `book:"bar_end_mm,min=0,was=grip_mm"`
	}
	var b bar
	if _, err := text.Decode([]byte("grip_mm: 45\n"), &b); err != nil || b.End.Likely.String() != "45" {
		t.Errorf("by its former name: %+v, %v", b, err)
	}
	if out, err := text.Encode(b); err != nil || string(out) != "bar_end_mm: 45\n" {
		t.Errorf("written: %s, %v", out, err)
	}
	for written, want := range map[string]string{
		"bar_end_mm: 45\ngrip_mm: 60\n": "line 2, column 1: bar_end_mm: given twice, once as grip_mm, which it was called before; keep one",
		"grip_mm: -1\n":                 "bar_end_mm",
		"\"\": 1\n":                     "",
		"grip_mm: 1\ngrip_mm: 1\n":      "given twice; the first is on line 1",
	} {
		if _, err := text.Decode([]byte(written), &b); err == nil || !strings.Contains(err.Error(), want) || strings.Count(err.Error(), "twice") > 1 {
			t.Errorf("%q: %v, want %s", written, err, want)
		}
	}
}

func TestDecodeNeedsAStruct(t *testing.T) {
	t.Parallel()
	type badOption struct {
		A int `book:"a,minn=0"`
	}
	type badBound struct {
		A int `book:"a,min=x"`
	}
	type unnamed struct {
		A int `book:",required"`
	}
	type unreadable struct {
		A chan int `book:"a"`
	}
	type badKey struct {
		A map[int]int `book:"a"`
	}
	for _, into := range []any{nil, lamp{}, new(int), (*lamp)(nil), new(badOption), new(badBound), new(unnamed), new(unreadable), new(badKey)} {
		_, err := text.Decode([]byte("a: 1"), into)
		var found *text.Errors
		if err == nil || errors.As(err, &found) {
			t.Errorf("%T: got %v, want an error about the type", into, err)
		}
	}
}

func TestPointer(t *testing.T) {
	t.Parallel()
	for path, want := range map[string]string{
		"":                            "",
		"name":                        "/name",
		"parts[2].routing[0].kind":    "/parts/2/routing/0/kind",
		text.Key("choices", "1.5"):    "/choices/1.5",
		text.Key("a[0].b", `x"]["/~`): `/a/0/b/x"]["~1~0`,
	} {
		if got := text.Pointer(path); got != want {
			t.Errorf("Pointer(%q) = %q, want %q", path, got, want)
		}
	}
}

func TestNearest(t *testing.T) {
	t.Parallel()
	known := []string{"length_mm", "width_mm", "LED-1", "m"}
	for name, want := range map[string]string{"lenght_mm": "length_mm", "Led-1": "LED-1", "LED1": "LED-1", "x": "", "depth": "", strings.Repeat("m", 1000): ""} {
		if got, _ := text.Nearest(name, known); got != want {
			t.Errorf("Nearest(%.20q) = %q, want %q", name, got, want)
		}
	}
}

// decodeErrors decodes text into a lamp, which must fail.
func decodeErrors(t *testing.T, written string) *text.Errors {
	t.Helper()
	_, err := text.Decode([]byte(written), new(lamp))
	var found *text.Errors
	if !errors.As(err, &found) || len(found.List) == 0 {
		t.Fatalf("%.80q: got error %v, want *text.Errors", written, err)
	}
	return found
}

// TestDecodeEmbedded: the fields of a struct within another stand among that one's, and
// whoever looks at the texts themselves takes any.
func TestDecodeEmbedded(t *testing.T) {
	t.Parallel()
	type within struct {
		Name  string `book:"name,required"`
		Notes string `book:"notes"`
	}
	var whole struct {
		within
		Day string `book:"day"`
	}
	const data = `{"name": "", "notes": "two\nlines ", "day": "soon"}`
	if _, err := text.Decode([]byte(data), &whole); err == nil || !strings.Contains(err.Error(), "name: the text is empty") || !strings.Contains(err.Error(), "U+000A") {
		t.Errorf("%v", err)
	}
	if _, err := text.DecodeAnyText([]byte(data), &whole); err != nil || whole.Notes != "two\nlines " || whole.Day != "soon" {
		t.Errorf("%+v, %v", whole, err)
	}
	if out, err := text.Encode(whole); err != nil || string(out) != "name: \"\"\nnotes: \"two\\u000Alines \"\nday: soon\n" {
		t.Errorf("%s, %v", out, err)
	}
}
