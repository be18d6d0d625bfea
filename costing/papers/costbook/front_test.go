package costbook_test

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/costbook"
	"kerfbook/costing/papers/recalctest"
)

// frontOf is the first page of the sample, with a column and a figure that are not
// there.
func frontOf(s sample) costbook.Meta {
	meta := sampleMeta
	meta.Tables = []costbook.Table{{Title: "Cost, EUR", Columns: []string{"Glow", "none"}, Notes: []string{"=1+1"}, Lines: []costbook.Line{
		costbook.Line{Label: "price", Figures: []graph.ID{s.price, graph.None}}.Sum(),
		{Figures: s.out[1:2]},
		{Label: "sheets", Figures: s.out[3:]},
		{Label: "as a share", Share: true, Figures: s.out[3:]},
		{Label: "nothing"},
	}}, {Title: "Nothing either", Lines: []costbook.Line{{Figures: []graph.ID{graph.None}}}}}
	return meta
}

// aName is a formula that refers to one cell.
var aName = regexp.MustCompile(`^_\w+$`)

// TestFirstPageFollows: the figures of the first page are those of the working, and
// its second row says whether the checks hold, after what is typed too.
func TestFirstPageFollows(t *testing.T) {
	t.Parallel()
	s := newSample(t)
	file := written(t, sampleModel(t, s), frontOf(s))
	cells := [][2]string{{"B6", "3.88"}, {"C6", ""}, {"B7", "3.88166666666667"}, {"B8", "11"}, {"B9", "11"}}
	f := open(t, file)
	for _, c := range cells {
		formula, err := f.GetCellFormula(workbook.FirstPage, c[0])
		if err != nil || (formula != "") != (c[1] != "") || formula != "" && !aName.MatchString(formula) {
			t.Errorf("%s holds the formula %q, %v", c[0], formula, err)
		}
	}
	broken := open(t, file)
	setNamed(t, broken, "_part_DIAL_7_width", 39)
	edited, err := broken.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	again := recalctest.Convert(t, "xlsx", stripped(t, file), stripped(t, edited.Bytes()))
	for _, c := range cells {
		if got := raw(t, again[0], c[0]); got != c[1] {
			t.Errorf("%s is %q, want %q", c[0], got, c[1])
		}
	}
	if got := raw(t, again[0], "A10"); got != "=1+1" {
		t.Errorf("the note is %q", got)
	}
	const two = "These checks do not hold: five blanks and their kerfs fit the sheet. width of the blank. "
	if got := raw(t, again[0], "A2"); got != "All checks hold: 2" || got != raw(t, file, "A2") {
		t.Errorf("verdict %q, written as %q", got, raw(t, file, "A2"))
	}
	if got := raw(t, again[1], "A2"); got != two {
		t.Errorf("verdict %q, want %q", got, two)
	}
}

// TestSheetsArePrinted: what stands on paper ends before the keys, and what only helps
// is in the second level of the outline, which folds below its heading.
func TestSheetsArePrinted(t *testing.T) {
	t.Parallel()
	s := newSample(t)
	file := written(t, sampleModel(t, s), frontOf(s))
	f := open(t, file)
	areas := map[string]string{}
	for _, n := range f.GetDefinedName() {
		if n.Name == "_xlnm.Print_Area" {
			areas[n.Scope] = n.RefersTo
		}
	}
	for _, sheet := range f.GetSheetList()[2:] {
		head, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		key, _ := excelize.ColumnNumberToName(len(head[0]))
		before, _ := excelize.ColumnNumberToName(len(head[0]) - 1)
		if last, _ := f.GetCellValue(sheet, key+"1"); last != "key" || !strings.Contains(areas[sheet], "!$A$1:$"+before+"$") {
			t.Errorf("sheet %s ends with the column %q and prints %q", sheet, last, areas[sheet])
		}
	}
	index, _ := f.GetSheetIndex("part")
	xml := entry(t, file, "xl/worksheets/sheet"+string(rune('1'+index))+".xml")
	for _, want := range []string{`outlineLevel="1"`, `outlineLevel="2"`, `summaryBelow="false"`} {
		if !strings.Contains(xml, want) {
			t.Errorf("sheet part lacks %s", want)
		}
	}
}

// TestVerdictOfWhatIsKnown: the verdict that is stored says what the formula would.
func TestVerdictOfWhatIsKnown(t *testing.T) {
	t.Parallel()
	b := graph.NewBuilder(graph.Limits{})
	x := b.Root().Input("in/x", "x", graph.Plain, number("2"))
	b.Root().Check("in/less", "x is less than itself", x, graph.Less, x)
	b.Root().Check("in/same", "x is itself", x, graph.LessOrEqual, x)
	b.Root().Check("in/undefined", "x ÷ 0 is x", b.Root().Divide("in/over", "x ÷ 0", x, b.Root().Zero(graph.Plain)), graph.LessOrEqual, x)
	g := graphtest.Built(t, b)
	m, err := workbook.Build(g, graphtest.Evaluated(t, g))
	if err != nil {
		t.Fatal(err)
	}
	file := written(t, m, sampleMeta)
	const want = "These checks do not hold: x is less than itself. x ÷ 0 is x. "
	if got := raw(t, file, "A2"); got != want {
		t.Errorf("stored verdict %q, want %q", got, want)
	}
	if got := raw(t, recalctest.Convert(t, "xlsx", stripped(t, file))[0], "A2"); got != want {
		t.Errorf("verdict %q, want %q", got, want)
	}
}

// TestFirstPageIsOnePage: the first page is printed on one sheet of paper, and every
// page says whose figures they are, of which version and day.
func TestFirstPageIsOnePage(t *testing.T) {
	t.Parallel()
	s := newSample(t)
	file := written(t, sampleModel(t, s), frontOf(s))
	xml := entry(t, file, "xl/worksheets/sheet1.xml")
	for _, want := range []string{`fitToHeight="1"`, `fitToWidth="1"`, `fitToPage="true"`, `orientation="portrait"`,
		"&amp;LBrass &amp;&amp; Sons, book in version 7, figures of 2026-09-01&amp;R&amp;A, &amp;P / &amp;N"} {
		if !strings.Contains(xml, want) {
			t.Errorf("the first page lacks %s", want)
		}
	}
	if pages := bytes.Count(recalctest.Convert(t, "pdf", file)[0], []byte("/Type/Page/")); pages != len(open(t, file).GetSheetList()) {
		t.Errorf("%d pages of %d short sheets", pages, len(open(t, file).GetSheetList()))
	}
}

func stripped(t testing.TB, file []byte) []byte {
	t.Helper()
	out, err := recalctest.Strip(file)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// raw gives a cell of the first page before any number format.
func raw(t testing.TB, file []byte, cell string) string {
	t.Helper()
	got, err := open(t, file).GetCellValue(workbook.FirstPage, cell, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func setNamed(t testing.TB, f *excelize.File, name string, value float64) {
	t.Helper()
	for _, n := range f.GetDefinedName() {
		if n.Name == name {
			sheet, cell, _ := strings.Cut(strings.ReplaceAll(n.RefersTo, "$", ""), "!")
			if err := f.SetCellValue(strings.Trim(sheet, "'"), cell, value); err != nil {
				t.Fatal(err)
			}
			return
		}
	}
	t.Fatalf("no cell is named %s", name)
}
