package rows_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/book/record"
	"kerfbook/costing/book/rows"
	"kerfbook/costing/text"
	"kerfbook/testdata"
)

// style is a way in which a table is written.
type style struct {
	separator        rune
	words, withComma bool
}

var styles = []style{{',', false, false}, {';', true, true}, {'\t', true, false}}

func (s style) table(t testing.TB, columns []rows.Column, values []reflect.Value) []byte {
	t.Helper()
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.Comma = s.separator
	for _, line := range rows.Write(columns, values, s.words, s.withComma) {
		for i, cell := range line {
			line[i] = rows.Bare(cell)
		}
		w.Write(line)
	}
	if w.Flush(); w.Error() != nil {
		t.Fatal(w.Error())
	}
	return out.Bytes()
}

// generated is a record with random values in random fields.
func generated(r *rand.Rand, v reflect.Value, tag string, full bool) {
	switch x := v.Interface().(type) {
	case bom.Number:
		v.Set(reflect.ValueOf(fitting(r, tag)))
		return
	case decimal.Decimal:
		v.Set(reflect.ValueOf(fitting(r, tag+",single").Likely))
		return
	case bom.ID:
		v.SetString(fmt.Sprintf("A-%d", r.IntN(1000)))
		return
	case bom.Date:
		v.SetString(fmt.Sprintf("2026-%02d-%02d", 1+r.IntN(12), 1+r.IntN(28)))
		return
	case text.Words:
		v.SetString(x.Values()[r.IntN(len(x.Values()))])
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		generated(r, v.Elem(), tag, full)
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			tag := f.Tag.Get("book")
			if f.Anonymous && tag == "" || tag != "" && (full || strings.Contains(tag, ",required") || r.IntN(3) > 0) {
				generated(r, v.Field(i), tag, full)
			}
		}
	case reflect.Slice:
		n := 1 + r.IntN(3)
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			generated(r, v.Index(i), tag, full)
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		key, entry := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		generated(r, key, "", full)
		generated(r, entry, tag, full)
		v.SetMapIndex(key, entry)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int:
		v.SetInt(fitting(r, tag+",whole").Likely.IntPart())
	default:
		said := map[string]string{"Country": "NO", "Code": "EUR", "TimeZone": "Europe/Lisbon", "FigureKey": "variant/plain/each/full", "CostBasis": "likely"}[v.Type().Name()]
		if said == "" {
			said = []string{"no, \"1e3\": it is", "=1+1", "'tis", "'=x", "[a]", "{}", "1,5", "yes", "a..b", "- ü; #x"}[r.IntN(10)]
		}
		v.SetString(said)
	}
}

// fitting is a number within the bounds of a tag, often a range where it may be one.
func fitting(r *rand.Rand, tag string) bom.Number {
	options := strings.Split(tag, ",")
	for {
		d := decimal.RequireFromString([]string{"1", "0.6", "0.4", "3000", "12.345", "-2", "0.001"}[r.IntN(7)])
		if slices.Contains(options, "whole") && !d.IsInteger() || slices.ContainsFunc(options, func(o string) bool { return breaks(d, o) }) {
			continue
		}
		if slices.Contains(options, "whole") || slices.Contains(options, "single") || r.IntN(2) == 0 {
			return bom.Exactly(d)
		}
		n := bom.Number{Low: d, Likely: d, High: d, IsRange: true, Shape: bom.Shape(r.IntN(4))}
		if n.Shape == bom.Normal {
			n.SD = decimal.RequireFromString("0.5")
		}
		return n
	}
}

func breaks(d decimal.Decimal, option string) bool {
	name, bound, ok := strings.Cut(option, "=")
	if !ok || name == "was" {
		return false
	}
	limit := decimal.RequireFromString(bound)
	return map[string]bool{"min": d.LessThan(limit), "over": !d.GreaterThan(limit), "max": d.GreaterThan(limit), "under": !d.LessThan(limit)}[name]
}

// TestEveryKindComesBack writes generated records of every kind, and of every list in them,
// in every style, and reads the same again.
func TestEveryKindComesBack(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(1, 2))
	for _, k := range record.Kinds() {
		for i := range 8 {
			v := reflect.New(k.Type).Elem()
			generated(r, v, "", i == 0)
			written, err := k.Write(v)
			if err != nil {
				t.Fatalf("%s: %v", k.Name, err)
			}
			v, _, err = k.Read(written)
			if err != nil {
				t.Fatalf("%s: %v\n%s", k.Name, err, written)
			}
			for _, s := range styles {
				file := s.table(t, rows.Columns(k, ""), []reflect.Value{v})
				back, err := rows.ReadRecords(file, k, nil)
				if err != nil {
					t.Fatalf("%s: %v\n%s", k.Name, err, file)
				}
				if again, err := k.Write(back[0].Value); err != nil || string(again) != string(written) {
					t.Fatalf("%s came back as\n%s\nwas\n%s\n%s", k.Name, again, written, file)
				}
			}
			for _, list := range rows.Lists(k) {
				entries := record.Field(v, list.Name)
				var values []reflect.Value
				for j := range entries.Len() {
					values = append(values, entries.Index(j))
				}
				back, err := rows.ReadEntries(styles[1].table(t, rows.Columns(k, list.Name), values), k, list.Name)
				if err != nil || len(back) != len(values) {
					t.Fatalf("%s of %s: %d of %d, %v", list.Name, k.Name, len(back), len(values), err)
				}
				for j, one := range back {
					if !reflect.DeepEqual(one.Value.Interface(), values[j].Interface()) {
						if d, _ := text.Differences(values[j].Interface(), one.Value.Interface()); len(d) > 0 {
							t.Fatalf("%s of %s: %v", list.Name, k.Name, d)
						}
					}
				}
			}
		}
	}
}

// TestBooksComeBack writes all tables of two books and makes a book of them.
func TestBooksComeBack(t *testing.T) {
	t.Parallel()
	for _, written := range [][]byte{testdata.Demo, testdata.Features} {
		b := booktest.Read(t, written)
		for _, s := range styles {
			again := &book.Book{Version: book.Version}
			for _, k := range record.Kinds() {
				entries, err := rows.ReadRecords(s.table(t, rows.Columns(k, ""), k.Take(b)), k, nil)
				if err != nil {
					t.Fatalf("%s: %v", k.Name, err)
				}
				var values []reflect.Value
				for i, e := range entries {
					if all := record.All(b, k); e.ID != all[i].ID {
						t.Errorf("%s %s came back as %s", k.Name, all[i].ID, e.ID)
					}
					values = append(values, e.Value)
				}
				k.Fill(again, values)
			}
			want, _ := b.Write()
			if got, err := again.Write(); err != nil || string(got) != string(want) {
				t.Errorf("%v: the book came back as another\n%s", err, got)
			}
		}
	}
}

// TestRandomEdits changes one cell of a table of the demo: that field of that record is
// another, or it is refused with its place, and nothing else differs.
func TestRandomEdits(t *testing.T) {
	t.Parallel()
	b := booktest.Demo(t)
	r := rand.New(rand.NewPCG(3, 4))
	kinds := slices.DeleteFunc(record.Kinds(), func(k record.Kind) bool { return len(k.Take(b)) == 0 })
	taken, refused := 0, 0
	for range 300 {
		k := kinds[r.IntN(len(kinds))]
		held := record.All(b, k)
		columns := rows.Columns(k, "")
		table := rows.Write(columns, k.Take(b), false, false)
		line, column := 1+r.IntN(len(table)-1), r.IntN(len(table[0]))
		table[line][column] = []string{"", "7", "0,25", "x", "2026-12-01", "yes", "5 %", "A-1 A-2", "[{}]", "1..2..3 pert"}[r.IntN(10)]
		var file bytes.Buffer
		if err := csv.NewWriter(&file).WriteAll(table); err != nil {
			t.Fatal(err)
		}
		entries, err := rows.ReadRecords(file.Bytes(), k, held)
		var found *rows.Errors
		if errors.As(err, &found) {
			refused++
			for _, e := range found.List {
				if e.Line == 0 || e.Column > 0 && table[0][e.Column-1] != e.Header {
					t.Errorf("%s, %q in %s: %v", k.Name, table[line][column], table[0][column], err)
				}
			}
			continue
		} else if err != nil {
			t.Fatal(err)
		}
		taken++
		for i, e := range entries {
			if e.ID != held[i].ID {
				continue // it names another record
			}
			d, _ := text.Differences(held[i].Value.Interface(), e.Value.Interface())
			for _, one := range d {
				if i != line-1 || !strings.HasPrefix(one.Path, table[0][column]) && !strings.HasPrefix(table[0][column], one.Path+".") {
					t.Errorf("%s, %q in %s of %s: %+v of %s", k.Name, table[line][column], table[0][column], held[line-1].ID, one, e.ID)
				}
			}
		}
	}
	if taken < 50 || refused < 50 {
		t.Errorf("%d taken, %d refused", taken, refused)
	}
}

// TestRecordsByPlace says what is wrong beside row and column, with the remedy.
func TestRecordsByPlace(t *testing.T) {
	t.Parallel()
	b := booktest.Demo(t)
	for _, c := range []struct{ kind, file, want string }{
		{"materials", "id;name;densty\n", "line 1, column 3 (densty): there is no column of this name; did you mean density?"},
		{"materials", "id;name\nX;\n", "line 2, column 2 (name): name is missing; fill in this cell"},
		{"materials", "id\nX\n", "line 2: name is missing; add a column for it"},
		{"materials", "id;name\nX;a\nX;b\n", "line 3, column 1 (id): X has a row already"},
		{"shop", "name\na\nb\n", "has a row already"},
		{"parts", "number;kind\nHS-010;bougt\n", "did you mean bought?"},
		{"parts", "number;finished;kind\nHS-010;x;\n", "has columns of its own"},
		{"parts", "number;kind;finished.length_mm\nHS-010;made;-4\n", "line 2, column 3 (finished.length_mm): "},
		{"offers", "for;supplier;breaks\nX;Y;4.20\n", "in brackets: [{from: …, price: …}]"},
		{"offers", "for;supplier;breaks\nX;Y;\"[{from: 1, prize: 4}]\"\n", "line 2, column 3 (breaks): [0].prize: unknown field \"prize\"; did you mean price"},
		{"offers", "for;supplier;breaks\nX;Y;\"[{from: 1, price: 4}\"\n", "line 2, column 3 (breaks): "},
		{"offers", "for;supplier;breaks\nX;Y;\"[], note: hidden\"\n", "line 2, column 3 (breaks): "},
		{"offers", "for;supplier;moq\nX;Y;\"1.000\"\nX;Z;\"1,5\"\n", `"1.000" could be 1000 or 1,000`},
	} {
		k, _ := record.KindOf(c.kind)
		_, err := rows.ReadRecords([]byte(c.file), k, record.All(b, k))
		var found *rows.Errors
		if !errors.As(err, &found) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, want %q", c.file, err, c.want)
		}
	}
}

// TestColumnsThatAreMissingStayInRecords: narrow tables change what they have columns for.
func TestColumnsThatAreMissingStayInRecords(t *testing.T) {
	t.Parallel()
	b := booktest.Demo(t)
	for _, k := range record.Kinds() {
		held := record.All(b, k)
		if k.Only || len(held) == 0 {
			continue
		}
		columns := rows.Columns(k, "")
		ids := slices.DeleteFunc(slices.Clone(columns), func(c rows.Column) bool {
			return !slices.Contains([]string{"id", "number", "for", "supplier", "valid_until", "from", "product", "trim", "channel", "country", "region"}, c.Path)
		})
		entries, err := rows.ReadRecords(styles[0].table(t, ids, k.Take(b)), k, held)
		if err != nil {
			t.Errorf("%s: %v", k.Name, err)
			continue
		}
		for i, e := range entries {
			if d, _ := text.Differences(held[i].Value.Interface(), e.Value.Interface()); len(d) > 0 || e.ID != held[i].ID {
				t.Errorf("%s %s: %v", k.Name, e.ID, d)
			}
		}
	}
}

// TestOneOfTwoOfAName: of two offers of one supplier the one of the same day is meant, and
// another day is that of the one left, or of a new one.
func TestOneOfTwoOfAName(t *testing.T) {
	t.Parallel()
	k, _ := record.KindOf("offers")
	columns := "for;supplier;unit;currency;breaks;valid_until\n"
	row := func(day string) string { return `A;B;piece;EUR;"[{from: 1, price: 4}]";` + day + "\n" }
	first, err := rows.ReadRecords([]byte(columns+row("2026-03-31")+row("2026-06-30")), k, nil)
	if err != nil || first[0].ID != "A.B" || first[1].ID != "A.B.2026-06-30" {
		t.Fatalf("%+v, %v", first, err)
	}
	var held []record.Record
	for _, e := range first {
		held = append(held, record.Record{Kind: k, ID: e.ID, Value: e.Value})
	}
	for file, want := range map[string]string{
		row("2026-06-30"): "A.B.2026-06-30", row("2026-06-30") + row("2026-12-31"): "A.B.2026-06-30 A.B", row("2026-12-31"): "A.B",
		row("2026-12-31") + row("2026-03-31") + row("2026-06-30"): "A.B.2026-12-31 A.B A.B.2026-06-30",
	} {
		entries, err := rows.ReadRecords([]byte(columns+file), k, held)
		var got []string
		for _, e := range entries {
			got = append(got, e.ID)
		}
		if err != nil || strings.Join(got, " ") != want {
			t.Errorf("%s is about %v, %v; want %s", file, got, err, want)
		}
	}
}

func FuzzReadRecords(f *testing.F) {
	b := booktest.Demo(f)
	for i, k := range record.Kinds() {
		f.Add(i, string(styles[i%len(styles)].table(f, rows.Columns(k, ""), k.Take(b))))
	}
	f.Fuzz(func(t *testing.T, kind int, table string) {
		kinds := record.Kinds()
		k := kinds[(kind%len(kinds)+len(kinds))%len(kinds)]
		entries, err := rows.ReadRecords([]byte(table), k, record.All(b, k))
		if err != nil {
			return
		}
		for _, e := range entries {
			for _, s := range styles {
				again, err := rows.ReadRecords(s.table(t, rows.Columns(k, ""), []reflect.Value{e.Value}), k, nil)
				if err != nil {
					t.Fatalf("%s: %v", k.Name, err)
				}
				if d, _ := text.Differences(e.Value.Interface(), again[0].Value.Interface()); len(d) > 0 {
					t.Fatalf("%s came back with %v", k.Name, d)
				}
			}
		}
	})
}
