package rows_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/book/rows"
	"kerfbook/costing/text"
	"kerfbook/testdata"
)

// written gives the table of a part as a file.
func written(t testing.TB, p *bom.Part, comma rune, decimalComma bool) []byte {
	t.Helper()
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.Comma = comma
	if err := w.WriteAll(rows.WriteOperations(p, decimalComma)); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func textOf(t testing.TB, p bom.Part) string {
	t.Helper()
	text, err := text.Encode(p)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestTablesComeBack writes and reads the operations of every part of two books,
// into a part that has none.
func TestTablesComeBack(t *testing.T) {
	t.Parallel()
	lines := 0
	for _, text := range [][]byte{testdata.Demo, testdata.Features} {
		for _, p := range booktest.Read(t, text).Parts {
			for _, form := range []struct {
				separator    rune
				decimalComma bool
			}{{',', false}, {';', false}, {';', true}, {'\t', false}, {'\t', true}} {
				file := append([]byte("\xEF\xBB\xBF"), written(t, &p, form.separator, form.decimalComma)...)
				bare := p
				bare.Routing = nil
				got, _, err := rows.ReadOperations(file, bare)
				if err != nil {
					t.Fatalf("%s: %v", p.Number, err)
				}
				if textOf(t, got) != textOf(t, p) {
					t.Errorf("%s came back as\n%s\nwas\n%s", p.Number, textOf(t, got), textOf(t, p))
				}
			}
			lines += len(rows.WriteOperations(&p, false)) - 1
		}
	}
	if lines < 30 {
		t.Errorf("only %d rows", lines)
	}
}

// everything is an operation with every field of every record filled in, so that no
// field of the book is without a column.
func everything() bom.Part {
	var p bom.Part
	p.Routing = make([]bom.Operation, 1)
	fill(reflect.ValueOf(&p.Routing[0]).Elem(), 0)
	return p
}

func fill(v reflect.Value, depth int) {
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), depth+1)
	case reflect.Struct:
		if n, ok := v.Addr().Interface().(*bom.Number); ok {
			*n = bom.Whole(1)
			return
		}
		for i := range v.NumField() {
			fill(v.Field(i), depth+1)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(v.Index(0), depth+1)
	case reflect.String:
		v.SetString("x")
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int:
		v.SetInt(7)
	}
}

func TestEveryFieldHasAColumn(t *testing.T) {
	t.Parallel()
	p := everything()
	table := rows.WriteOperations(&p, false)
	columns := slices.DeleteFunc(rows.OperationColumns(), func(c rows.Column) bool { return c.Shape == text.ShapeRecord })
	if len(table) != 4 || len(table[0]) != len(columns) {
		t.Errorf("%d rows and %d columns of %d: %v", len(table), len(table[0]), len(columns), table[0])
	}
	cells := 0
	for _, row := range table[1:] {
		for _, c := range row {
			if c != "" {
				cells++
			}
		}
	}
	fields := reflect.TypeFor[bom.Operation]().NumField() - 4 + reflect.TypeFor[bom.Treatment]().NumField() + reflect.TypeFor[bom.Learning]().NumField() +
		reflect.TypeFor[bom.Feature]().NumField() + reflect.TypeFor[bom.Characteristic]().NumField() + 2 // the rows within repeat the operation
	if cells != fields {
		t.Errorf("%d cells for %d fields", cells, fields)
	}
}

func TestExample(t *testing.T) {
	t.Parallel()
	p, _, err := rows.ReadOperations(rows.Example, bom.Part{Number: "A", Name: "a", Kind: bom.Made})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Routing) != 3 || len(p.Routing[0].Features) != 4 || p.Routing[1].PieceMin.High.String() != "3" || !p.Routing[0].Features[1].OpenEdges ||
		p.Routing[0].Features[1].Tools[0] != "SAW1" || len(p.Routing[2].Characteristics) != 1 {
		t.Errorf("read as\n%s", textOf(t, p))
	}
}

// sink is the heat sink of the book with features.
func sink(t *testing.T) bom.Part {
	for _, p := range booktest.Read(t, testdata.Features).Parts {
		if p.Number == "HS-110" {
			return p
		}
	}
	t.Fatal("no heat sink")
	return bom.Part{}
}

// TestColumnsThatAreMissingStay changes one dimension by a narrow table, and takes
// an operation away by leaving out its row.
func TestColumnsThatAreMissingStay(t *testing.T) {
	t.Parallel()
	p := sink(t)
	const file = "operation,feature,fin_width_mm\n20,,\n20,TOP,\n20,FINS,0.6\n20,SEAT,\n20,HOLES,\n20,M4,\n30,,\n40,,\n"
	got, _, err := rows.ReadOperations([]byte(file), p)
	if err != nil {
		t.Fatal(err)
	}
	d, err := text.Differences(p, got)
	if err != nil || len(d) != 3 || d[0].Path != "routing[50]" || d[1].Path != "routing[20].features[MIRROR]" || d[2] != (text.FieldDifference{Path: "routing[20].features[FINS].fin_width_mm", Before: "1", After: "0.6"}) {
		t.Fatalf("differences %+v, %v", d, err)
	}
	if len(got.Routing[2].Characteristics) != 2 {
		t.Error("characteristics went with a table that has no column for them")
	}
	if p.Routing[0].Features[1].FinWidthMM.Likely.String() != "1" {
		t.Error("the part before was changed")
	}
}

func TestWhatIsWrongIsSaidWithItsPlace(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, file, want string }{
		{"nothing", "", "the file is empty"},
		{"another alphabet", "\xFF\xFEo\x00", "UTF-16"},
		{"not text", "operation\n\xFF", "not written in UTF-8"},
		{"too large", strings.Repeat(" ", rows.MaxBytes+1), "larger than one MiB"},
		{"quotes", "operation,name\n10,\"saw\n", "quotes of this line"},
		{"no such column", "operation,deepness_mm\n", "line 1, column 2 (deepness_mm): there is no column of this name"},
		{"a near name", "operation,dept_mm\n", "did you mean depth_mm?"},
		{"a column twice", "operation,name,name\n", "line 1, column 3 (name): there are two columns"},
		{"no operation", "name\nx\n", "line 1: there is no column operation"},
		{"a nameless column", "operation,,name\n", "column 2 has no name"},
		{"no number", "operation,name,kind\nten,saw,manual\n", "line 2, column 1 (operation): \"ten\" is no number of an operation"},
		{"half an operation", "operation,name,kind\n10.5,saw,manual\n", "is no number of an operation"},
		{"twice", "operation,name,kind\n10,saw,manual\n\n10,saw,manual\n", "line 4, column 1 (operation): operation 10 has a row already"},
		{"an orphan", "operation,feature,name,kind\n10,A,a,face\n", "operation 10 has no row of its own above"},
		{"an exponent", "operation,name,kind,setup_min\n10,saw,manual,1e3\n", "without an exponent"},
		{"a bound", "operation,name,kind,yield\n10,saw,manual,1.5\n", "line 2, column 4 (yield): "},
		{"a word", "operation,name,kind\n10,saw,sawing\n", "line 2, column 3 (kind): "},
		{"a range of two", "operation,name,kind,piece_min\n10,saw,manual,1..2\n", "is no range such as"},
		{"a range that falls", "operation,name,kind,piece_min\n10,saw,manual,3..2..1\n", "line 2, column 4 (piece_min)"},
		{"a shape", "operation,name,kind,piece_min\n10,saw,manual,1..2..3 bell\n", "is not one of: triangular"},
		{"a deviation", "operation,name,kind,piece_min\n10,saw,manual,1..2..3 normal\n", "a normal shape needs sd"},
		{"two meanings", "operation,name,kind,piece_min\n10,saw,manual,\"1,234\"\n", `"1,234" could be 1234 or 1.234`},
		{"two meanings of a comma file", "operation;name;kind;piece_min;setup_min\n10;saw;manual;1.234;0,5\n", `"1.234" could be 1234 or 1,234`},
		{"thousands", "operation,name,kind,piece_min\n10,saw,manual,\"1,234.5\"\n", "line 2, column 4 (piece_min)"},
		{"a range of a count", "operation,name,kind,pieces_per_load\n10,saw,manual,1..2..3\n", "line 2, column 4 (pieces_per_load)"},
		{"truth", "operation,feature,name,kind,through\n10,,mill,machining,\n10,D,hole,drill,1\n", "line 3, column 5 (through): write yes or no"},
		{"another's column", "operation,feature,name,kind,depth_mm\n10,,mill,machining,5\n", "an operation has no depth_mm"},
		{"a name", "operation,feature,name,kind\n10,,mill,machining\n10,a b,hole,drill\n", "line 3, column 2 (feature): "},
		{"no kind", "operation,name,kind\n10,saw,\n", "line 2, column 3 (kind): kind is missing; fill in this cell"},
		{"no column of kind", "operation,name\n10,saw\n", "line 2: kind is missing; add a column for it"},
		{"too many cells", "operation,name,kind\n10,saw,manual,x\n", "has 4 cells"},
		{"both", "operation,feature,characteristic,name,kind\n10,,,m,inspection\n10,A,B,a,face\n", "not both"},
	} {
		_, _, err := rows.ReadOperations([]byte(c.file), bom.Part{Number: "A", Name: "a", Kind: bom.Made})
		var found *rows.Errors
		if !errors.As(err, &found) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

// TestAllIsSaidAtOnce lists what is wrong in the order of the file, and counts what
// it does not list.
func TestAllIsSaidAtOnce(t *testing.T) {
	t.Parallel()
	file := "operation,name,kind,setup_min,yield\n10,saw,sawing,x,2\n"
	_, _, err := rows.ReadOperations([]byte(file), bom.Part{Number: "A", Name: "a", Kind: bom.Made})
	if n := strings.Count(err.Error(), "line 2"); n != 3 {
		t.Errorf("%d faults: %v", n, err)
	}
	var long strings.Builder
	long.WriteString("operation,name,kind,setup_min\n")
	for i := range 300 {
		fmt.Fprintf(&long, "%d,saw,manual,x\n", i+1)
	}
	_, _, err = rows.ReadOperations([]byte(long.String()), bom.Part{Number: "A", Name: "a", Kind: bom.Made})
	var found *rows.Errors
	if !errors.As(err, &found) || len(found.List) != 100 || found.More != 200 || found.List[0].Line != 2 {
		t.Errorf("%v", err)
	}
}

// TestSpreadsheetsMayKeepTextFromRunning reads a text that was kept from being taken
// for a formula.
func TestSpreadsheetsMayKeepTextFromRunning(t *testing.T) {
	t.Parallel()
	p, _, err := rows.ReadOperations([]byte("operation,name,kind\n\"10\",\"'=1+1\",\"manual\"\n"), bom.Part{Number: "A", Name: "a", Kind: bom.Made})
	if err != nil || p.Routing[0].Name != "=1+1" {
		t.Errorf("%+v, %v", p.Routing, err)
	}
}

func FuzzRead(f *testing.F) {
	f.Add(string(rows.Example))
	f.Add("operation;feature;kind\n10;;\"")
	f.Add("operation,piece_min,treatment.class,learning.rate\n10,1..2..3 normal 0.5,SC2,0.9\n")
	f.Fuzz(func(t *testing.T, text string) {
		p, _, err := rows.ReadOperations([]byte(text), bom.Part{Number: "A", Name: "a", Kind: bom.Made})
		if err != nil {
			return
		}
		again, _, err := rows.ReadOperations(written(t, &p, ';', false), bom.Part{Number: "A", Name: "a", Kind: bom.Made})
		if err != nil || textOf(t, again) != textOf(t, p) {
			t.Errorf("%v\n%s\nbecame\n%s", err, textOf(t, p), textOf(t, again))
		}
	})
}

// TestEitherMark: numbers with a comma are read beside others with a point, where
// nothing else can be meant.
func TestEitherMark(t *testing.T) {
	t.Parallel()
	want, _, err := rows.ReadOperations([]byte("operation,name,kind,piece_min,setup_min\n10,saw 1,manual,1.5..2..2.5 normal 0.2,12.25\n20,file,manual,1234.5,1.234\n"), bom.Part{Number: "A", Name: "a", Kind: bom.Made})
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range []string{
		"operation;name;kind;piece_min;setup_min\n10;saw 1;manual;1,5..2..2,5 normal 0,2;12,25\n20;file;manual;1234,5;1,234\n",
		"operation\tname\tkind\tpiece_min\tsetup_min\n10\tsaw 1\tmanual\t1.5..2..2,5 normal 0.2\t12,25\n20\tfile\tmanual\t1234.5\t1,234\n",
		"operation,name,kind,piece_min,setup_min\n10,saw 1,manual,\"1,5..2..2,5 normal 0,2\",\"12,25\"\n20,file,manual,\"1234,5\",\"1,234\"\n",
	} {
		got, _, err := rows.ReadOperations([]byte(file), bom.Part{Number: "A", Name: "a", Kind: bom.Made})
		if err != nil || textOf(t, got) != textOf(t, want) {
			t.Errorf("%v\n%s\nis read as\n%s", err, file, textOf(t, got))
		}
	}
}

func TestHeadsOfTheDictionary(t *testing.T) {
	t.Parallel()
	table := "Operation,name,kind,machine or bench,\"set-up, min\",time of a piece (min),class\n10,saw,machining,SAW,12,0.9,\n"
	if _, _, err := rows.ReadOperations([]byte(table), bom.Part{Number: "A", Name: "a", Kind: bom.Made}); err == nil || !strings.Contains(err.Error(), "machine or bench") {
		t.Errorf("a head that nothing is called by: %v", err)
	}
	table = strings.Replace(table, "machine or bench", "work centre", 1)
	part, _, err := rows.ReadOperations([]byte(table), bom.Part{Number: "A", Name: "a", Kind: bom.Made})
	if err != nil {
		t.Fatal(err)
	}
	if op := part.Routing[0]; op.WorkCentre != "SAW" || op.SetupMin.Likely.String() != "12" || op.PieceMin.Likely.String() != "0.9" {
		t.Errorf("the operation read is %+v", op)
	}
}
