package text_test

import (
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/text"

	"github.com/shopspring/decimal"
)

func TestEncode(t *testing.T) {
	t.Parallel()
	price := bom.Exactly(decimal.RequireFromString("12.50"))
	spread := bom.Number{Low: decimal.NewFromInt(8), Likely: decimal.NewFromInt(10), High: decimal.RequireFromString("15.0"), IsRange: true}
	got, err := text.Encode(&lamp{
		Number: "010", Name: "Lamp: small #1", Origin: "PT", Since: "2026-11-25", Sold: true, LengthMM: &price, SetupMin: &spread,
		Parts:   []part{{"A", bom.Whole(2)}, {"B", spread}},
		Notes:   []string{"plain words", "no", "1e3", "- dash", "ends ", "é ü", "a\nb\u2028\"\\", ""},
		Choices: map[bom.ID]bom.ID{"z": "NO", "a": "b"},
		When:    []bom.When{{}, {"face": {"a", "b"}, "2": {"c"}}},
		Shelf:   &shelf{Rows: []part{{strictLong, bom.Whole(1)}, {strictLong + "x", spread}}},
	})
	if err != nil {
		t.Fatal(err)
	}
	want := `number: "010"
name: "Lamp: small #1"
origin: "PT"
since: "2026-11-25"
sold: true
length_mm: 12.50
setup_min: {low: 8, likely: 10, high: 15.0}
parts:
  - {part: A, quantity: 2}
  - {part: B, quantity: {low: 8, likely: 10, high: 15.0}}
notes: [plain words, "no", "1e3", "- dash", "ends ", é ü, "a\u000Ab\u2028\"\\", ""]
choices: {a: b, z: "NO"}
when:
  - {}
  - {"2": [c], face: [a, b]}
shelf:
  rows:
    - part: ` + strictLong + `
      quantity: 1
    - part: ` + strictLong + `x
      quantity: {low: 8, likely: 10, high: 15.0}
`
	if string(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

const strictLong = "A-part-number-that-is-quite-long-indeed"

// A range keeps its shape and deviation; a shape that a bare range has anyway is
// not written.
func TestRangesComeBack(t *testing.T) {
	t.Parallel()
	for written, want := range map[string]string{
		"{low: 1, likely: 2, high: 3}":                                             "",
		"{low: 1, likely: 2, high: 3, shape: triangular}":                          "{low: 1, likely: 2, high: 3}",
		"{shape: pert, high: 3, likely: 2.0, low: 1}":                              "{low: 1, likely: 2.0, high: 3, shape: pert}",
		"{low: 1, likely: 2, high: 3, shape: uniform}":                             "",
		"{low: 1, likely: 2, high: 3, shape: normal, sd: 0.40}":                    "",
		"{low: 2, likely: 2, high: 2}":                                             "",
		"{low: 2, likely: 2, high: 2, shape: normal, sd: 5}":                       "",
		"{low: 1, likely: 2, high: 3, shape: normal, sd: 800000}":                  "",
		`{"low": "1", "likely": "2", "high": "3", "shape": "normal", "sd": "0.4"}`: "{low: 1, likely: 2, high: 3, shape: normal, sd: 0.4}",
	} {
		var read lamp
		if _, err := text.Decode([]byte(head+"setup_min: "+written), &read); err != nil {
			t.Errorf("%s: %v", written, err)
			continue
		}
		if want == "" {
			want = written
		}
		written, err := text.Encode(read)
		if err != nil || !strings.HasSuffix(string(written), "\nsetup_min: "+want+"\n") {
			t.Errorf("%s is written\n%s, %v; want %s", written, written, err, want)
		}
	}
}

func TestEncodeRefuses(t *testing.T) {
	t.Parallel()
	for name, v := range map[string]any{
		"no struct":           3,
		"nil":                 (*lamp)(nil),
		"text not UTF-8":      lamp{Name: "\xff"},
		"too many digits":     lamp{Exact: decimal.RequireFromString("1" + strings.Repeat("0", 40))},
		"far too many":        lamp{Exact: decimal.New(1, 1000000000)},
		"far too many places": lamp{Exact: decimal.New(1, -1000000000)},
		"falling range":       lamp{SetupMin: &bom.Number{Low: decimal.NewFromInt(2), IsRange: true}},
		"range without sd":    lamp{SetupMin: &bom.Number{IsRange: true, Shape: bom.Normal}},
		"type without form": struct {
			A chan int `book:"a"`
		}{},
		"nil where required": struct {
			A *shelf `book:"a,required"`
		}{},
	} {
		if written, err := text.Encode(v); err == nil {
			t.Errorf("%s: got %q, want an error", name, written)
		}
	}
}

func TestEncodeQuotesWhatReadersMistake(t *testing.T) {
	t.Parallel()
	for _, written := range []string{
		"NO", "no", "Yes", "on", "OFF", "y", "N", "true", "FALSE", "null", "Null", "~", "", ".nan", "NaN", ".inf", "010", "0x10", "0o7",
		"1e3", "1.0", "-1", "+1", "1_000", "12:30:00", "2026-11-25", "<<", "=", "&a", "*a", "!a", "%a", "@a", "`a", "#a", "a #b", "a: b", "a:",
		"- a", "? a", "| a", "> a", "[a", "{a", "a, b", "a]", "'a'", "\"a\"", "a\tb", " a", "a ", "---", "...", "٣",
	} {
		got, err := text.Encode(struct {
			A string `book:"a"`
			B string `book:"b"`
		}{written, "x"})
		if err != nil || written != "" && !strings.HasPrefix(string(got), `a: "`) {
			t.Errorf("%q is written %q, %v", written, got, err)
		}
	}
}
