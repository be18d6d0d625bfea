package record_test

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
	"kerfbook/testdata"
	"kerfbook/testdata/depth"
)

// parted reads a book and takes its text apart.
func parted(t *testing.T, written []byte) (*book.Book, map[string][][]byte) {
	t.Helper()
	b, _, err := book.Parse(written)
	if err != nil {
		t.Fatalf("%v\n%s", err, written)
	}
	return b, record.Apart(written)
}

// TestApartAndTogether: the texts of the records make up the text of the book.
func TestApartAndTogether(t *testing.T) {
	t.Parallel()
	demo := string(testdata.Demo)
	b, _ := parted(t, testdata.Demo)
	canonical, err := b.Write()
	if err != nil {
		t.Fatal(err)
	}
	for name, written := range map[string]string{
		"as it is":                      demo,
		"as the program writes it":      string(canonical),
		"with Windows's line ends":      strings.ReplaceAll(demo, "\n", "\r\n"),
		"behind a byte order mark":      "\uFEFF" + demo,
		"without a last line end":       strings.TrimRight(demo, "\n"),
		"with comments everywhere":      commented(demo),
		"with a foot":                   demo + "\n# the end\n",
		"behind the mark of a document": "---\n" + demo,
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			b, texts := parted(t, []byte(written))
			got, err := record.Together(b, texts)
			if err != nil || string(got) != written {
				t.Errorf("%v, %s", err, difference(written, string(got)))
			}
			for _, k := range record.Kinds() {
				for i, r := range record.All(b, k) {
					plain := k.Plain(texts[k.Name][i])
					value, _, err := k.Read(plain)
					if err != nil || !reflect.DeepEqual(record.JSON(value), record.JSON(r.Value)) {
						t.Errorf("%s %s alone says something else: %v\n%s", k.Name, r.ID, err, plain)
					}
					if placed := k.Placed(plain, texts[k.Name][i]); !bytes.Equal(k.Plain(placed), plain) {
						t.Errorf("%s %s has moved:\n%s\n%s", k.Name, r.ID, texts[k.Name][i], placed)
					}
				}
			}
		})
	}
}

// commented puts a comment above each entry of a list and behind each fifth line.
func commented(written string) string {
	var out strings.Builder
	for i, line := range strings.Split(written, "\n") {
		rest := strings.TrimLeft(line, " ")
		if strings.HasPrefix(rest, "- ") {
			fmt.Fprintf(&out, "%s# comment %d\n", line[:len(line)-len(rest)], i)
		}
		if i%5 == 0 && strings.HasSuffix(line, "}") {
			line += fmt.Sprintf("  # behind %d", i)
		}
		if i%11 == 0 && rest != "" && !strings.HasSuffix(line, ",") {
			out.WriteString("\n")
		}
		out.WriteString(line + "\n")
	}
	return out.String()
}

// difference shows the first line that two texts do not share.
func difference(want, got string) string {
	a, b := strings.SplitAfter(want, "\n"), strings.SplitAfter(got, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return fmt.Sprintf("line %d: %q, want %q", i+1, b[i], a[i])
		}
	}
	return fmt.Sprintf("%d lines, want %d", len(b), len(a))
}

// drawnEdit is a change of a value by chance, at a place.
type drawnEdit struct {
	path  string
	lines bool // of a list, or of what had no line: more than its own line changes
	do    func()
}

// drawnEdits lists what can be changed in a value.
func drawnEdits(v reflect.Value, path string, draw *rand.Rand) (out []drawnEdit) {
	if v.Type() == reflect.TypeFor[bom.Number]() {
		return []drawnEdit{{path, false, func() {
			n := v.Interface().(bom.Number)
			n.Likely = n.Likely.Mul(decimal.New(int64(900+draw.IntN(99)), -3)).Round(max(1, -n.Likely.Exponent()))
			if !n.IsRange {
				n = bom.Exactly(n.Likely)
			}
			v.Set(reflect.ValueOf(n))
		}}}
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			out = append(drawnEdits(v.Elem(), path, draw), drawnEdit{path, true, func() { v.SetZero() }})
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if name := record.FieldName(v.Type().Field(i)); name != "" && name != "-" {
				out = append(out, drawnEdits(v.Field(i), text.Field(path, name), draw)...)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			out = append(out, drawnEdits(v.Index(i), text.Index(path, i), draw)...)
		}
		if v.Len() > 0 {
			at := draw.IntN(v.Len())
			one := reflect.New(v.Type().Elem()).Elem()
			one.Set(v.Index(at))
			out = append(out, drawnEdit{path, true, func() { v.Set(reflect.AppendSlice(v.Slice3(0, at, at), v.Slice(at+1, v.Len()))) }},
				drawnEdit{path, true, func() { v.Set(reflect.Append(v, one)) }},
				drawnEdit{path, true, func() { reflect.Swapper(v.Interface())(0, v.Len()-1) }})
		}
	case reflect.String:
		if v.Type() == reflect.TypeFor[string]() {
			out = append(out, drawnEdit{path, v.String() == "", func() { v.SetString(fmt.Sprintf("words %d: as it \"is\"", draw.IntN(1000))) }})
		}
	}
	return out
}

// TestEditsKeepTheHand changes a commented book by chance: what differs lies in the entry
// changed, a figure differs in its line alone, and reading after setting gives what setting
// after reading does.
func TestEditsKeepTheHand(t *testing.T) {
	t.Parallel()
	written := []byte(commented(string(testdata.Demo)))
	b, apart := parted(t, written)
	done := map[bool]int{}
	for seed := range depth.Seeds(1000) {
		draw := rand.New(rand.NewPCG(seed, 13))
		texts := maps.Clone(apart)
		k := record.Kinds()[draw.IntN(len(record.Kinds()))]
		all := record.All(b, k)
		if len(all) == 0 {
			continue
		}
		at := draw.IntN(len(all))
		kept := texts[k.Name][at]
		value, places, _ := k.Read(k.Plain(kept))
		before := bytes.Clone(record.JSON(value))
		edits := drawnEdits(value, "", draw)
		e := edits[draw.IntN(len(edits))]
		e.do()
		canonical, err := k.Write(value)
		if err != nil {
			continue
		}
		if read, _, err := k.Read(canonical); err != nil || bytes.Equal(record.JSON(read), before) {
			continue // it breaks a rule of form, or says the same
		}
		done[e.lines]++
		revised, err := k.Revise(kept, value)
		if err != nil {
			t.Fatal(err)
		}
		again, _, err := k.Read(k.Plain(revised))
		if err != nil || !bytes.Equal(record.JSON(again), record.JSON(value)) {
			t.Fatalf("seed %d: %s %s, %s: reading after setting: %v\n%s", seed, k.Name, all[at].ID, e.path, err, revised)
		}
		was, is := strings.Split(string(k.Plain(kept)), "\n"), strings.Split(string(k.Plain(revised)), "\n")
		first, rest := shared(was, is)
		if line := places.Of(e.path).Line; !e.lines && (len(was) != len(is) || first != line-1 || rest != len(was)-line) {
			t.Fatalf("seed %d: %s %s, %s on line %d: not that line alone\n%s\n%s", seed, k.Name, all[at].ID, e.path, line, kept, revised)
		}
		if lost := strings.Count(string(kept), "#") - strings.Count(string(revised), "#"); e.lines && lost > strings.Count(strings.Join(was[first:len(was)-rest], ""), "#") {
			t.Fatalf("seed %d: %s %s, %s: %d comments are lost\n%s\n%s", seed, k.Name, all[at].ID, e.path, lost, kept, revised)
		}
		list := slices.Clone(texts[k.Name])
		list[at] = revised
		texts[k.Name] = list
		whole, err := record.Together(b, texts)
		if err != nil || k.Name != record.ShopKind && !bytes.Equal(whole, bytes.Replace(written, kept, revised, 1)) {
			t.Fatalf("seed %d: %s %s, %s: other lines of the book differ: %v", seed, k.Name, all[at].ID, e.path, err)
		}
	}
	if done[false] == 0 || done[true] == 0 {
		t.Errorf("%d figures and texts, %d lists and fields", done[false], done[true])
	}
	t.Logf("%d figures and texts, %d lists and fields", done[false], done[true])
}

// shared counts the lines that two texts have in common at their beginning and end.
func shared(a, b []string) (first, rest int) {
	for first < min(len(a), len(b)) && a[first] == b[first] {
		first++
	}
	for rest < min(len(a), len(b))-first && a[len(a)-1-rest] == b[len(b)-1-rest] {
		rest++
	}
	return first, rest
}

// TestTidy: a tidy book says the same, has all its comments and is tidy.
func TestTidy(t *testing.T) {
	t.Parallel()
	b, _ := parted(t, testdata.Demo)
	for name, written := range map[string]string{"as it is": string(testdata.Demo), "commented": commented(string(testdata.Demo)), "with Windows's line ends": strings.ReplaceAll(string(testdata.Demo), "\n", "\r\n")} {
		tidied, err := text.Tidy([]byte(written), b)
		if err != nil {
			t.Fatal(name, err)
		}
		again, _, err := book.Parse(tidied)
		if err != nil || !reflect.DeepEqual(again, b) {
			t.Errorf("%s: tidied it says something else: %v", name, err)
		}
		if was, is := comments(written), comments(string(tidied)); was != is {
			t.Errorf("%s: %d comments, %d when tidied", name, was, is)
		}
		if twice, err := text.Tidy(tidied, b); err != nil || !bytes.Equal(tidied, twice) {
			t.Errorf("%s: not tidy when tidied, %v: %s", name, err, difference(string(tidied), string(twice)))
		}
	}
}

func comments(written string) int { return strings.Count(written, "# ") }

const smallBook = `# A shop.
kerfbook: 1
name: Ostrel Workshop
country: "PT"
currency: EUR

rate_cards:
- {id: "2026", from: 2026-01-01}

suppliers:
# first
- {id: A, name: Aval}

- {id: B, name: Bora} # second

materials:
- id: CU
  name: copper
  density_g_cm3: 8.93
`

// TestTogetherAfterChanges: what was saved alone is written as its neighbours are, and a list
// that comes or goes is named.
func TestTogetherAfterChanges(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, kind  string
		add         string // a text saved alone, behind the others
		drop        int    // how many others go
		from, to    string // in the text
		windowsEnds bool
	}{
		{"a line beside lines", "suppliers", "id: C\nname: Cabo\n", 0, "# second\n", "# second\n\n- {id: C, name: Cabo}\n", false},
		{"fields beside lines", "suppliers", "# by hand\nid: C\nname: Cabo # c\n", 0, "# second\n", "# second\n\n# by hand\n- id: C\n  name: Cabo # c\n", false},
		{"fields beside fields", "materials", "id: AL\nname: aluminium\ndensity_g_cm3: 2.70\n", 0, "8.93\n", "8.93\n- id: AL\n  name: aluminium\n  density_g_cm3: 2.70\n", false},
		{"the first of a list", "stocks", "id: BAR\nname: bar\nmaterial: CU\nform: bar\nlength_mm: 3000\ndiameter_mm: 20\n", 0,
			"8.93\n", "8.93\n\nstocks:\n- {id: BAR, name: bar, material: CU, form: bar, length_mm: 3000, diameter_mm: 20}\n", false},
		{"the first of a list that others come behind", "metal_prices", "# looked up\nid: CU-1\nname: copper\ncurrency: EUR\ndays: [{from: 2026-01-01, per_kg: 9}]\n", 0,
			"8.93\n", "8.93\n\nmetal_prices:\n# looked up\n- id: CU-1\n  name: copper\n  currency: EUR\n  days: [{from: 2026-01-01, per_kg: 9}]\n", false},
		{"the last of a list", "suppliers", "", 2, "suppliers:\n# first\n- {id: A, name: Aval}\n\n- {id: B, name: Bora} # second\n", "suppliers: []\n", false},
		{"rules", "rules", "# ours\nimport_rules: []\ntaxes: []\n", 0, "8.93\n", "8.93\n\nrules:\n  # ours\n  import_rules: []\n  taxes: []\n", false},
		{"other line ends", "suppliers", "id: C\nname: Cabo\n", 0, "# second\n", "# second\n\n- {id: C, name: Cabo}\n", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			ended := func(text string) string {
				if c.windowsEnds {
					return strings.ReplaceAll(text, "\n", "\r\n")
				}
				return text
			}
			b, texts := parted(t, []byte(ended(smallBook)))
			k, _ := record.KindOf(c.kind)
			values := k.Take(b)[c.drop:]
			texts[c.kind] = texts[c.kind][c.drop:]
			if c.add != "" {
				value, _, err := k.Read([]byte(c.add))
				if err != nil {
					t.Fatal(err)
				}
				values, texts[c.kind] = append(slices.Clone(values), value), append(slices.Clone(texts[c.kind]), []byte(c.add))
			}
			reflect.ValueOf(b).Elem().FieldByIndex(fieldOf(k)).SetZero()
			k.Fill(b, values)
			got, err := record.Together(b, texts)
			if want := ended(strings.Replace(smallBook, c.from, c.to, 1)); err != nil || string(got) != want {
				t.Errorf("%v, %s\n%s", err, difference(want, string(got)), got)
			}
			if _, _, err := book.Parse(got); err != nil {
				t.Error(err)
			}
		})
	}
}

// fieldOf is the field of the book that holds the records of a kind.
func fieldOf(k record.Kind) []int {
	for f := range reflect.TypeFor[book.Book]().Fields() {
		if record.FieldName(f) == k.Name {
			return f.Index
		}
	}
	return nil
}
