package service_test

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/graph/graphtest"
	"kerfbook/costing/graph/workbook"
	"kerfbook/costing/papers/costbook"
	"kerfbook/costing/papers/recalctest"
	"kerfbook/testdata"
	"kerfbook/testdata/depth"
)

const day bom.Date = "2026-11-25"

// sheetOf is the cost workbook of a batch with what is needed to compare it.
type sheetOf struct {
	g      *graph.Graph
	values *exact.Values
	model  *workbook.Model
	file   []byte
	name   map[graph.ID]string // of the cell
}

func demoBook(t testing.TB) *book.Book {
	t.Helper()
	b, _, err := book.Parse(testdata.Demo)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func newSheet(t testing.TB, trim bom.ID, quantity int64) *sheetOf {
	t.Helper()
	return newSheetOf(t, estimate.NewMix("LAMP", decimal.NewFromInt(quantity), trim))
}

func newSheetOf(t testing.TB, mix []estimate.MixLine) *sheetOf {
	t.Helper()
	est, err := estimate.Build(demoBook(t), mix, day)
	if err != nil {
		t.Fatal(err)
	}
	s := &sheetOf{g: est.Graph, name: map[graph.ID]string{}}
	if s.values, err = exact.Evaluate(s.g, nil); err != nil {
		t.Fatal(err)
	}
	if s.model, err = workbook.Build(s.g, s.values); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := costbook.Write(&out, s.model, costbook.Meta{Title: "cost", Author: "test", Day: day}); err != nil {
		t.Fatal(err)
	}
	s.file = out.Bytes()
	for _, sh := range s.model.Sheets {
		for _, r := range sh.Rows {
			if r.ID != graph.None && r.Name != "" {
				s.name[r.ID] = r.Name
			}
		}
	}
	return s
}

// BenchmarkCostWorkbook writes the workbook of the demo's three trims in one batch:
// sheet model and file; the memory of the origin holds graph and figures.
func BenchmarkCostWorkbook(b *testing.B) {
	o := answer.Of(demoBook(b))
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(100), "plain", "glow", "tune")
	for b.Loop() {
		if _, err := o.CostWorkbook(b.Context(), mix, day); err != nil {
			b.Fatal(err)
		}
	}
}

// edit is one change of inputs with what the engine gives for it.
type edit struct {
	what   string
	pins   exact.Pins
	values *exact.Values
}

// change gives the engine's answer to changed inputs with its decisions held, as
// the locked cells of the file hold them.
func (s *sheetOf) change(t testing.TB, what string, pins exact.Pins) edit {
	t.Helper()
	all := exact.Pins{}
	for id := range graph.ID(s.g.Len()) {
		if n := s.g.Node(id); n.Op == graph.Decided {
			all[id] = n.Value
		}
	}
	maps.Copy(all, pins)
	values, err := exact.Evaluate(s.g, all)
	if err != nil {
		t.Fatalf("%s: %v", what, err)
	}
	return edit{what, pins, values}
}

// steps types the edits one after the other, each time restoring what the one
// before had changed, and reads the totals; every full-th time all cells.
func (s *sheetOf) steps(edits []edit, full int) []recalctest.Step {
	var totals, all []string
	for id := range graph.ID(s.g.Len()) {
		n := s.g.Node(id)
		all = append(all, s.name[id])
		if n.Op == graph.Check || isTotal(n.Key) {
			totals = append(totals, s.name[id])
		}
	}
	steps := make([]recalctest.Step, len(edits))
	for i, e := range edits {
		set := map[string]string{}
		if i > 0 {
			for id := range edits[i-1].pins {
				set[s.name[id]] = s.g.Node(id).Value.String()
			}
		}
		for id, v := range e.pins {
			set[s.name[id]] = v.String()
		}
		steps[i] = recalctest.Step{Set: set, Get: totals}
		if i%full == 0 {
			steps[i].Get = all
		}
	}
	return steps
}

// isTotal picks the figures a person reads: costs by piece, prices, and what the
// buyer pays and the seller keeps.
func isTotal(key string) bool {
	if strings.HasPrefix(key, "variant/") {
		return strings.Contains(key, "/each/") || strings.Contains(key, "/price/")
	}
	if !strings.HasPrefix(key, "destination/") {
		return false
	}
	for _, end := range []string{"/buyer-clears/total", "/all-paid/total", "/buyer-clears/profit", "/all-paid/profit", "/duty", "/tax", "/clearance"} {
		if strings.HasSuffix(key, end) {
			return true
		}
	}
	return false
}

// compare holds every cell of a recalculated file against the engine: money to a
// tenth of a cent, anything else to nine digits.
func (s *sheetOf) compare(t *testing.T, what string, values *exact.Values, cells map[string]string) {
	t.Helper()
	wrong := 0
	for id := range graph.ID(s.g.Len()) {
		want, defined := values.Raw(id)
		got, read := cells[s.name[id]]
		if !read || same(want, defined, got, s.g.Node(id).Unit.String()) {
			continue
		}
		if wrong++; wrong <= 5 {
			t.Errorf("%s: %s is %s in the sheet and %s (%t) in the engine", what, s.g.Node(id).Key, got, want, defined)
		}
	}
	if wrong > 5 {
		t.Errorf("%s: %d cells differ in all", what, wrong)
	}
}

func same(want decimal.Decimal, defined bool, got, unit string) bool {
	f, err := strconv.ParseFloat(got, 64)
	if err != nil {
		return !defined && strings.HasPrefix(got, "#")
	}
	w, _ := want.Float64()
	if strings.Contains(unit, "EUR") && math.Abs(f-w) < 0.001 {
		return true
	}
	return defined && math.Abs(f-w) <= 1e-9*math.Max(1, math.Max(math.Abs(w), math.Abs(f)))
}

// TestCostWorkbookIsLive demands a formula without literals in every cell that
// is computed, and a lock on everything but inputs.
func TestCostWorkbookIsLive(t *testing.T) {
	t.Parallel()
	for _, trim := range []bom.ID{"plain", "glow", "tune"} {
		s := newSheet(t, trim, 120)
		cells := must(recalctest.Inspect(s.file))(t)
		for id := range graph.ID(s.g.Len()) {
			n := s.g.Node(id)
			c, ok := cells[s.name[id]]
			if !ok {
				t.Errorf("%s: %s has no named cell", trim, n.Key)
				continue
			}
			if c.Locked == (n.Kind == graph.Input) {
				t.Errorf("%s: %s is locked: %t", trim, n.Key, c.Locked)
			}
			if n.Kind != graph.Computed && n.Kind != graph.Proof {
				continue
			}
			if c.Formula == "" {
				t.Errorf("%s: %s is computed and has no formula", trim, n.Key)
			} else if err := graphtest.CheckFormula(c.Formula); err != nil {
				t.Errorf("%s: %s: %v", trim, n.Key, err)
			}
		}
	}
}

// TestCostWorkbookRecalculates takes the cached values out of the workbook of the demo's
// three trims and lets an independent program calculate it: every cell is what the
// engine gives, and the first page refers to figures and computes none.
func TestCostWorkbookRecalculates(t *testing.T) {
	t.Parallel()
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(120), "plain", "glow", "tune")
	file := must(answer.Of(demoBook(t)).CostWorkbook(t.Context(), mix, day))(t)
	again := recalctest.Convert(t, "xlsx", must(recalctest.Strip(file))(t))[0]
	written, recalculated := must(excelize.OpenReader(bytes.NewReader(file)))(t), must(excelize.OpenReader(bytes.NewReader(again)))(t)
	rows := must(recalculated.GetRows(workbook.FirstPage, excelize.Options{RawCellValue: true}))(t)
	cells, shown, all := must(recalctest.Inspect(again))(t), map[string]bool{}, map[string]string{}
	for name, c := range cells {
		all[name] = c.Value
	}
	s := newSheetOf(t, mix)
	s.compare(t, "three trims", s.values, all)
	if len(all) < s.g.Len() {
		t.Errorf("%d named cells of %d figures", len(all), s.g.Len())
	}
	for i := 3; i < len(rows); i++ {
		for j := 1; j < len(rows[i]); j++ {
			at := must(excelize.CoordinatesToCellName(j+1, i+1))(t)
			name := must(written.GetCellFormula(workbook.FirstPage, at))(t)
			if _, err := strconv.ParseFloat(rows[i][j], 64); name == "" && err == nil {
				t.Errorf("%s holds the number %s", at, rows[i][j])
			}
			if name != "" && rows[i][j] != cells[name].Value {
				t.Errorf("%s is %q, and %s is %q", at, rows[i][j], name, cells[name].Value)
			}
			shown[name] = true
		}
	}
	est := must(estimate.Build(demoBook(t), mix, day))(t)
	m := must(workbook.Build(est.Graph, nil))(t)
	for _, id := range answer.Headline(est) {
		if r := m.Row(id); !shown[r.Name] && !strings.HasSuffix(r.Key, "/kept-book") {
			t.Errorf("the first page does not show %s", r.Key)
		}
	}
	if got := rows[1][0]; got != "All checks hold: 168" {
		t.Errorf("verdict %q", got)
	}
}

// TestCostWorkbookPagesBeforeTheWorking: twenty pages at most are printed before the
// working begins.
func TestCostWorkbookPagesBeforeTheWorking(t *testing.T) {
	t.Parallel()
	est := must(estimate.Build(demoBook(t), estimate.NewMix("LAMP", decimal.NewFromInt(120), "plain", "glow", "tune"), day))(t)
	m := must(workbook.Build(est.Graph, must(exact.Evaluate(est.Graph, nil))(t)))(t)
	m.Sheets, m.Blocks = m.Sheets[:1], nil
	var file bytes.Buffer
	if err := costbook.Write(&file, m, costbook.Meta{Title: "cost", Author: "test", Day: day}); err != nil {
		t.Fatal(err)
	}
	pages := bytes.Count(recalctest.Convert(t, "pdf", file.Bytes())[0], []byte("/Type/Page/"))
	if pages < 3 || pages > 20 || m.Sheets[0].Role != workbook.Inputs {
		t.Errorf("%d pages up to the end of sheet %s", pages, m.Sheets[0].Name)
	}
}

func inputs(g *graph.Graph) []graph.ID {
	var out []graph.ID
	for id := range graph.ID(g.Len()) {
		if g.Node(id).Kind == graph.Input {
			out = append(out, id)
		}
	}
	return out
}

// TestCostWorkbookFollowsEdits types changed inputs into the open workbook: every
// input of the trim, one at a time at night and ten at a time by day, and
// quantities, masses and margins chosen to cross steps.
func TestCostWorkbookFollowsEdits(t *testing.T) {
	t.Parallel()
	s := newSheet(t, "glow", 120)
	edits := s.chosenEdits(t)
	all := inputs(s.g)
	for some := range slices.Chunk(all, len(all)/depth.Of(len(all))) {
		pins := exact.Pins{}
		for _, id := range some {
			pins[id] = s.g.Node(id).Value.Mul(decimal.New(107, -2))
		}
		edits = append(edits, s.change(t, fmt.Sprintf("%d inputs × 1.07 from %s", len(some), s.g.Node(some[0]).Key), pins))
	}
	if len(all) < 140 {
		t.Errorf("%d inputs, want at least 140", len(all))
	}
	for i, cells := range recalctest.Live(t, s.file, s.steps(edits, 40)) {
		if len(cells) < 200 {
			t.Fatalf("%s: only %d cells were read", edits[i].what, len(cells))
		}
		s.compare(t, edits[i].what, edits[i].values, cells)
	}
}

// TestPartWorkbookFollowsTheHour: in the workbook of a part by itself, with its price at a
// margin and abroad, another hour of the machine moves the price.
func TestPartWorkbookFollowsTheHour(t *testing.T) {
	t.Parallel()
	margin := bom.Exactly(decimal.New(4, -1))
	mix := estimate.Alone("HS-010", decimal.New(45, 0), &margin)
	mix[0].Destinations = []string{"NL"}
	s := newSheetOf(t, mix)
	hour, price, abroad := s.id(t, "work-centre/MILL/machine-rate"), s.id(t, "variant/HS-010/price/direct/shelf-price"), s.id(t, "destination/NL/HS-010/all-paid/total")
	dearer := s.change(t, "an hour of 180", exact.Pins{hour: decimal.New(180, 0)})
	for i, cells := range recalctest.Live(t, s.file, s.steps([]edit{dearer}, 1)) {
		s.compare(t, dearer.what, dearer.values, cells)
		for _, id := range []graph.ID{price, abroad} {
			if was, _ := s.values.Get(id); i > 0 || cells[s.name[id]] == "" || same(was, true, cells[s.name[id]], "") {
				t.Errorf("%s stays at %s", s.g.Node(id).Key, was)
			}
		}
	}
}

// chosenEdits cross the steps a cost has, and prove that they do: for each kind
// of step, a figure of that kind must differ from the unchanged estimate.
func (s *sheetOf) chosenEdits(t *testing.T) []edit {
	t.Helper()
	var edits []edit
	vary := func(key string, values ...string) {
		id := s.id(t, key)
		for _, v := range values {
			edits = append(edits, s.change(t, key+" = "+v, exact.Pins{id: decimal.RequireFromString(v)}))
		}
	}
	vary("mix/glow", "1", "2", "7", "49", "50", "51", "99", "100", "101", "119", "121", "249", "250", "251", "399", "400", "401", "499", "500", "501", "999", "1000", "1001", "1500")
	vary("product/LAMP/parcel/mass", "400", "1999", "2000", "2001", "3499", "3500", "3501", "4999", "5000", "5001", "9999", "10000")
	vary("product/LAMP/parcel/height", "100", "154", "155", "156", "200", "248", "249", "300")
	vary("price/LAMP._.direct/margin-wanted", "0", "0.05", "0.1", "0.15", "0.2", "0.25", "0.5", "0.7")
	vary("stock/CU-60X20/length", "62", "119", "1000", "2999", "3001", "6000")
	s.mustDiffer(t, edits, "a price break", "/order/USTRELIN/candidate/base/price")
	s.mustDiffer(t, edits, "the break gone up to", "/best-quantity")
	s.mustDiffer(t, edits, "a bar count", "part/HS-010/stock-needed")
	s.mustDiffer(t, edits, "a weight step", "/chargeable-mass")
	s.mustDiffer(t, edits, "a weight band", "/table-price")
	s.mustDiffer(t, edits, "a customs threshold", "destination/GB/glow/regime")
	s.mustDiffer(t, edits, "a ceiling", "part/HS-010/start")
	s.mustDiffer(t, edits, "a price point", "variant/glow/price/direct/point-base")
	return edits
}

func (s *sheetOf) id(t testing.TB, key string) graph.ID {
	t.Helper()
	id, ok := s.g.Find(key)
	if !ok {
		t.Fatalf("there is no figure %s", key)
	}
	return id
}

func (s *sheetOf) mustDiffer(t *testing.T, edits []edit, what, suffix string) {
	t.Helper()
	for id := range graph.ID(s.g.Len()) {
		if !strings.HasSuffix(s.g.Node(id).Key, suffix) {
			continue
		}
		before, _ := s.values.Raw(id)
		for _, e := range edits {
			if after, ok := e.values.Raw(id); ok && !after.Equal(before) {
				return
			}
		}
	}
	t.Errorf("no edit crosses %s (%s)", what, suffix)
}

// TestDecidedCellsWatchTheirInputs changes what a layout was decided for: the
// engine refuses to go on, and in the sheet the locked decision stays, with its
// watch on the input and its check for the best turning where they should.
func TestDecidedCellsWatchTheirInputs(t *testing.T) {
	t.Parallel()
	s := newSheet(t, "glow", 120)
	best := s.id(t, "part/SH-ACR/layout-best")
	var edits []edit
	turned := 0
	for _, id := range s.windows(t, "part/SH-ACR/layout") {
		for _, factor := range depth.OneOfEach([]int64{90, 97, 103, 112, 130}, func(factor int64) bool { return factor < 100 }) {
			value := s.g.Node(id).Value.Mul(decimal.New(factor, -2))
			if _, err := exact.Evaluate(s.g, exact.Pins{id: value}); !errors.As(err, new(*exact.OutsideDecisionError)) {
				t.Errorf("%s = %s: the engine says %v", s.g.Node(id).Key, value, err)
			}
			e := s.change(t, s.g.Node(id).Key+" = "+value.String(), exact.Pins{id: value})
			if v, _ := e.values.Raw(best); v.IsZero() {
				turned++
			}
			edits = append(edits, e)
		}
	}
	if turned == 0 || turned == len(edits) {
		t.Errorf("another layout is better after %d of %d changes; the check is not tested", turned, len(edits))
	}
	steps := s.steps(edits, 12)
	for i, cells := range recalctest.Live(t, s.file, s.watched(steps)) {
		s.compare(t, edits[i].what, edits[i].values, cells)
		for id := range edits[i].pins {
			if got := cells[s.watch(id)]; got != "0" {
				t.Errorf("%s: the watch on the input reads %s", edits[i].what, got)
			}
		}
	}
}

// windows lists the inputs a decision was made with.
func (s *sheetOf) windows(t testing.TB, key string) []graph.ID {
	t.Helper()
	var out []graph.ID
	for _, w := range s.g.Node(s.id(t, key)).Decision.Valid {
		out = append(out, w.Input)
	}
	return out
}

// watch names the cell that says whether an input is still what the layout of
// the acrylic ring was decided for.
func (s *sheetOf) watch(input graph.ID) string {
	for _, sh := range s.model.Sheets {
		for _, r := range sh.Rows {
			if sh.Role == workbook.Checks && r.ID == graph.None && r.Verdict && r.Key == s.g.Node(input).Key &&
				strings.HasPrefix(r.Name, "_part_SH_ACR_layout") {
				return r.Name
			}
		}
	}
	return ""
}

// watched reads the watches too.
func (s *sheetOf) watched(steps []recalctest.Step) []recalctest.Step {
	for i := range steps {
		for _, id := range inputs(s.g) {
			if name := s.watch(id); name != "" {
				steps[i].Get = append(steps[i].Get, name)
			}
		}
	}
	return steps
}
