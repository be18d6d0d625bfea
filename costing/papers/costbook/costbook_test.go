package costbook_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/costbook"
	"kerfbook/costing/papers/recalctest"
	"kerfbook/costing/papers/xlsx"
)

func sampleModel(t testing.TB, s sample) *workbook.Model {
	t.Helper()
	m, err := workbook.Build(s.g, graphtest.Evaluated(t, s.g))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func sampleFile(t testing.TB) []byte {
	t.Helper()
	return written(t, sampleModel(t, newSample(t)), sampleMeta)
}

func inspect(t testing.TB, file []byte) map[string]recalctest.NamedCell {
	t.Helper()
	named, err := recalctest.Inspect(file)
	if err != nil {
		t.Fatal(err)
	}
	return named
}

func TestSameModelSameBytes(t *testing.T) {
	t.Parallel()
	first := sampleFile(t)
	for range 8 {
		if !bytes.Equal(first, sampleFile(t)) {
			t.Fatal("two files of one model differ")
		}
	}
	zr, err := zip.NewReader(bytes.NewReader(first), int64(len(first)))
	if err != nil {
		t.Fatal(err)
	}
	day := time.Date(2026, 9, 1, 0, 0, 0, 0, time.UTC)
	for i, entry := range zr.File {
		if !entry.Modified.Equal(day) {
			t.Errorf("%s is dated %v", entry.Name, entry.Modified)
		}
		if i == 0 && entry.Name != "[Content_Types].xml" || i > 1 && entry.Name <= zr.File[i-1].Name {
			t.Errorf("%s is out of order", entry.Name)
		}
	}
	f := open(t, first)
	props, err := f.GetDocProps()
	if err != nil || props.Created != "2026-09-01T00:00:00Z" || props.Modified != props.Created || props.Title != sampleMeta.Title {
		t.Errorf("properties %+v, %v", props, err)
	}
	if f.GetActiveSheetIndex() != 0 {
		t.Errorf("sheet %d is shown first", f.GetActiveSheetIndex())
	}
}

func open(t testing.TB, file []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func TestOnlyInputsCanBeEdited(t *testing.T) {
	t.Parallel()
	s, data := newSample(t), sampleFile(t)
	named := inspect(t, data)
	for _, sheet := range sampleModel(t, s).Sheets {
		for _, r := range sheet.Rows {
			if r.Name == "" {
				continue
			}
			got := named[r.Name]
			if got.Locked == (r.Kind == graph.Input) || got.Formula != r.Formula || got.Sheet != sheet.Name {
				t.Errorf("%s (%s): %+v, want formula %q", r.Name, r.Key, got, r.Formula)
			}
			if r.Formula != "" && got.Value == "" {
				t.Errorf("%s: no stored value", r.Name)
			}
		}
	}
	f := open(t, data)
	for _, sheet := range f.GetSheetList() {
		xml := entry(t, data, "xl/worksheets/sheet"+sheetNumber(f, sheet)+".xml")
		if !strings.Contains(xml, `<sheetProtection sheet="true"`) || strings.Contains(xml, "password=") {
			t.Errorf("sheet %s is not protected without a password", sheet)
		}
	}
	rules, err := f.GetDataValidations("inputs")
	if err != nil || len(rules) != 1 || rules[0].Type != "decimal" {
		t.Errorf("validation %v, %v", rules, err)
	}
}

// sheetNumber gives the number of a sheet's entry.
func sheetNumber(f *excelize.File, sheet string) string {
	i, _ := f.GetSheetIndex(sheet)
	return string(rune('1' + i))
}

func entry(t testing.TB, file []byte, name string) string {
	t.Helper()
	zr, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	r, err := zr.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var out bytes.Buffer
	if _, err := out.ReadFrom(r); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// Inputs stand in the file as they were typed, up to fifteen digits.
func TestInputsAreWrittenAsTyped(t *testing.T) {
	t.Parallel()
	texts := map[string]string{
		"11.15": "11.15", "0.1": "0.1", "2.50": "2.5", "-0.285": "-0.285", "1e3": "1000", "0": "0",
		"123456789012345": "123456789012345", "1234567890.12345": "1234567890.12345", "0.000000123456789012345": "0.000000123456789012345",
		"0.30000000000000004":                   "0.3",
		"99999999999999.95":                     "100000000000000",
		"1.234567890123456789":                  "1.23456789012346",
		"12345678901234567890":                  "12345678901234600000",
		"1000000000000000000000000000000":       "1000000000000000000000000000000",
		"-0.0000000000000000000000000000012345": "-0.0000000000000000000000000000012345",
		"11.14999999999999999999999999999999":   "11.15",
	}
	b := graph.NewBuilder(graph.Limits{})
	i, names := 0, map[string]string{}
	for text := range texts {
		i++
		key := "in/x" + strings.Repeat("i", i)
		b.Root().Input(key, "x", graph.Plain, number(text))
		names[text] = "_" + strings.ReplaceAll(key, "/", "_")
	}
	m, err := workbook.Build(graphtest.Built(t, b), nil)
	if err != nil {
		t.Fatal(err)
	}
	named := inspect(t, written(t, m, sampleMeta))
	for text, want := range texts {
		if got := named[names[text]].Value; got != want {
			t.Errorf("%s is written as %s, want %s", text, got, want)
		}
	}
}

// A decision stays; the check beside it turns when its input leaves the window.
func TestDecisionSaysWhenItNoLongerHolds(t *testing.T) {
	t.Parallel()
	base := sampleFile(t)
	const decided, window, all = "_part_DIAL_7_per_sheet", "_part_DIAL_7_per_sheet__while", "_every_check_holds"
	if n := inspect(t, base)[decided]; !n.Locked || n.Formula != "" || n.Value != "24" {
		t.Errorf("decided cell: %+v", n)
	}
	widths := []struct{ typed, window, fits, all string }{
		{"34.5", "1", "1", "1"}, {"36", "1", "1", "1"}, {"36.01", "0", "1", "0"}, {"29.99", "0", "1", "0"}, {"39", "0", "0", "0"},
	}
	var steps []recalctest.Step
	for _, w := range widths {
		steps = append(steps, recalctest.Step{Set: map[string]string{"_part_DIAL_7_width": w.typed},
			Get: []string{window, "_part_DIAL_7_fits", all, decided, "_variant_glow_making_price"}})
	}
	got := recalctest.Live(t, base, steps)
	for i, w := range widths {
		g := got[i]
		if g[window] != w.window || g["_part_DIAL_7_fits"] != w.fits || g[all] != w.all || g[decided] != "24" {
			t.Errorf("window %s, fits %s, all %s, decided %s; want %+v and 24", g[window], g["_part_DIAL_7_fits"], g[all], g[decided], w)
		}
	}
	if g := got[0]; g["_variant_glow_making_price"] != "3.88" {
		t.Errorf("price %s, want 3.88", g["_variant_glow_making_price"])
	}
}

// hostile are labels, sources and names that a spreadsheet might run.
var hostile = []string{
	`=HYPERLINK("http://example.invalid","x")`, "+1+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "'=1", "=cmd|' /C calc'!A0",
	"_x003D_1+1", "<f>1</f>", "&quot;", "]]>", "\x00\x07=1", "＝1",
}

func TestTextThatLooksLikeAFormulaStaysText(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	for i, text := range hostile {
		s := b.Root().From(graph.Source{Where: text, Cite: text}).By(text)
		key := "in/x" + strings.Repeat("i", i)
		x := s.Input(key, text, graph.Plain, number("1"))
		s.Decided(key+"-d", text, graph.Plain, number("1"), graph.Choice{Solver: text, Rule: text, Options: []string{text}})
		s.Add(key+"-sum", text, x, x)
	}
	g := graphtest.Built(t, b)
	m, err := workbook.Build(g, nil)
	if err != nil {
		t.Fatal(err)
	}
	out := written(t, m, costbook.Meta{Title: hostile[0], Subject: hostile[1], Author: hostile[2], Day: "2026-09-01", Cautions: hostile})
	formulasOnlyInValues(t, out)
	formulasOnlyInValues(t, recalctest.Convert(t, "xlsx", out)[0])
	if got, err := open(t, out).GetCellValue("inputs", "A4"); err != nil || got != hostile[0] {
		t.Errorf("label %q, %v", got, err)
	}
}

// formulasOnlyInValues wants formulas in the value column and nowhere else.
func formulasOnlyInValues(t *testing.T, file []byte) {
	t.Helper()
	f := open(t, file)
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for i, row := range rows {
			for j := range row {
				cell, _ := excelize.CoordinatesToCellName(j+1, i+1)
				formula, err := f.GetCellFormula(sheet, cell)
				if err != nil || formula != "" && (j != 1 || sheet == workbook.ReadMe) {
					t.Errorf("%s!%s holds the formula %q, %v", sheet, cell, formula, err)
				}
				if link, _, _ := f.GetCellHyperLink(sheet, cell); link {
					t.Errorf("%s!%s holds a link", sheet, cell)
				}
			}
		}
	}
}

func TestDayMustBeADate(t *testing.T) {
	t.Parallel()
	m := sampleModel(t, newSample(t))
	for _, day := range []string{"", "2026-02-30", "1979-12-31", "2101-01-01", "today"} {
		meta := sampleMeta
		meta.Day = bom.Date(day)
		var problem *xlsx.DayError
		if err := costbook.Write(&bytes.Buffer{}, m, meta); !errors.As(err, &problem) {
			t.Errorf("day %q: %v", day, err)
		}
	}
}

func TestWriteReportsErrors(t *testing.T) {
	t.Parallel()
	full := errors.New("disk full")
	reader, broken := io.Pipe()
	reader.CloseWithError(full)
	if err := costbook.Write(broken, sampleModel(t, newSample(t)), sampleMeta); !errors.Is(err, full) {
		t.Error(err)
	}
}

func BenchmarkWrite(b *testing.B) {
	m := sampleModel(b, newSample(b))
	for b.Loop() {
		if err := costbook.Write(&bytes.Buffer{}, m, sampleMeta); err != nil {
			b.Fatal(err)
		}
	}
}
