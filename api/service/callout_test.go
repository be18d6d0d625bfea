package service_test

import (
	"context"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/testdata"
)

// featured is a service with the book whose parts are described by features.
func featured(t testing.TB) (*service.Service, answer.Version) {
	t.Helper()
	return opened(t, atTen, testdata.Features)
}

func bareMix(n int64) []estimate.MixLine {
	return estimate.NewMix("SINK", decimal.NewFromInt(n), "bare")
}

// production prices the book with a text replaced, and gives what a piece of the
// heat sink costs.
func production(t *testing.T, old, replaced string) string {
	t.Helper()
	text := strings.Replace(string(testdata.Features), old, replaced, 1)
	if text == string(testdata.Features) && old != replaced {
		t.Fatalf("the book has no %q", old)
	}
	b, _, err := book.Parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	sheet := must(answer.Of(b).Sheet(t.Context(), bareMix(100), day))(t)
	return sheet.Figure("part/HS-110/each/production").Value
}

// TestCallOutsAreWhatTheChangedBookCosts holds each comparison against the book with
// the demand written otherwise.
func TestCallOutsAreWhatTheChangedBookCosts(t *testing.T) {
	t.Parallel()
	s, _ := featured(t)
	found, err := s.CallOuts(t.Context(), bareMix(100), day, "HS-110")
	if err != nil || found.More != 0 {
		t.Fatal(found.More, err)
	}
	list := found.List
	drawn := production(t, "", "")
	want := map[string][2]string{
		"Rz 1 µm of mirror, operation 20":            {"rz_um: 1}", "rz_um: 2}"},
		"corner radius 1.5 mm of seat, operation 20": {"corner_radius_mm: 1.5", "corner_radius_mm: 3"},
		"flatness measured, operation 40":            {"measure_min: 2,", "measure_min: 0,"},
		"roughness measured, operation 40":           {"measure_min: 1.5", "measure_min: 0"},
		"class SC2, operation 50":                    {"class: SC2", "class: SC1"},
		"masks, operation 50":                        {", masks: 2", ""},
	}
	for _, c := range list {
		edit, ok := want[c.What]
		if !ok {
			t.Errorf("%q against %q was not expected", c.What, c.Relaxed)
			continue
		}
		delete(want, c.What)
		relaxed := production(t, edit[0], edit[1])
		if c.Cost.Before.Value != relaxed || c.Cost.After.Value != drawn || c.Fault != "" {
			t.Errorf("%s: relaxed %s, want %s; as drawn %s, want %s; %s", c.What, c.Cost.Before.Value, relaxed, c.Cost.After.Value, drawn, c.Fault)
		}
		if d, ok := c.Cost.Difference.Number(); !ok || !d.IsPositive() {
			t.Errorf("%s costs %s", c.What, c.Cost.Difference.Value)
		}
	}
	if len(want) > 0 {
		t.Errorf("not compared: %v", want)
	}
	if found, err := s.CallOuts(t.Context(), bareMix(100), day, "NOTHING"); err != nil || len(found.List) != 0 {
		t.Errorf("a part that is not there has %d call-outs, %v", len(found.List), err)
	}
}

// TestFieldsMayBeChangedByTheirPlace tries changes of fields, numbers or not, and
// holds the answers against the book with the field written so.
func TestFieldsMayBeChangedByTheirPlace(t *testing.T) {
	t.Parallel()
	s, version := featured(t)
	const at = "book/parts/HS-110/routing[0].features[1]."
	for _, c := range []struct{ key, value, old, replaced string }{
		{at + "fin_width_mm", "0.6", "fin_width_mm: 1", "fin_width_mm: 0.6"},
		{at + "tools", "EM1", "open_edges: true}", "open_edges: true, tools: [EM1]}"},
		{at + "open_edges", "no", ", open_edges: true", ""},
		{at + "clearance_mm", "5", "open_edges: true}", "open_edges: true, clearance_mm: 5}"},
		{"book/parts/HS-110/routing[0].features[5].rz_um", "", ", rz_um: 1", ""},
		{"book/parts/HS-110/routing[0].pieces_per_load", "8", "pieces_per_load: 4", "pieces_per_load: 8"},
		{"book/parts/HS-110/blank.length_mm", "85", "length_mm: 80, kerf", "length_mm: 85, kerf"},
		{"book/parts/HS-110/routing[3].treatment.class", "SC3", "class: SC2", "class: SC3"},
		{"book/tools/SAW1/teeth", "32", "teeth: 48", "teeth: 32"},
		{"part/HS-110/op/20/feature/SEAT/corner-radius", "3", "corner_radius_mm: 1.5", "corner_radius_mm: 3"}, // another tool fits
	} {
		sheet, err := s.SheetWith(t.Context(), bareMix(100), day, []change.Change{{Key: c.key, Value: c.value}})
		if err != nil {
			t.Errorf("%s: %v", c.key, err)
			continue
		}
		if got, want := sheet.Figure("part/HS-110/each/production").Value, production(t, c.old, c.replaced); got != want || want == production(t, "", "") && c.key[:10] != "book/tools" {
			t.Errorf("%s at %q: %s, want %s", c.key, c.value, got, want)
		}
	}
	if _, now, err := s.Book(t.Context()); err != nil || now != version {
		t.Errorf("the book is at %s, was at %s, %v", now, version, err)
	}
}

func TestFieldsThatCannotBeChanged(t *testing.T) {
	t.Parallel()
	s, _ := featured(t)
	for _, c := range []struct{ key, value, words string }{
		{"book/parts/HS-110", "1", "names no field"},
		{"book/pieces/HS-110/name", "x", "no kind of record"},
		{"book/parts/HS-999/name", "x", "there is no record parts HS-999"},
		{"book/parts/HS-110/routing[9].name", "x", "no such place"},
		{"book/parts/HS-110/routing[0].width", "x", "no such place"},
		{"book/parts/HS-110/routing[0].treatment.class", "SC2", "is not there"},
		{"book/parts/HS-110/routing[0].features", "x", "more than one value"},
		{"book/parts/HS-110/routing[0].features[0].depth_mm", "1,5", "point for decimals"},
		{"book/parts/HS-110/routing[0].features[0].depth_mm", "", "needs depth_mm"},
		{"book/parts/HS-110/routing[0].features[1].open_edges", "perhaps", "neither yes nor no"},
		{"book/parts/HS-110/routing[0].features[1].tools", "NONE", "no tool NONE"},
		{"book/parts/HS-110/routing[0].yield", "1.2", "too large"},
		{"book/parts/HS-110/routing[3].treatment.class", "SC9", "no class"},
		{"book/parts/HS-110/kind", "mended", "is not one of"},
	} {
		_, err := s.WhatIf(t.Context(), bareMix(100), day, []change.Change{{Key: c.key, Value: c.value}})
		if e := wantCode(t, err, answer.Invalid); e != nil && !strings.Contains(e.Error(), c.words) {
			t.Errorf("%s at %q: %v, want %q", c.key, c.value, err, c.words)
		}
	}
}

// TestOverrideIsSeenAndMayBeTried: the figure says that it was entered, the finding
// says both values, and the number may be tried out like any input.
func TestOverrideIsSeenAndMayBeTried(t *testing.T) {
	t.Parallel()
	s, version := featured(t)
	record := `{id: timed, figure: part/HS-110/op/20/cutting, value: {low: 18, likely: 20, high: 24}, unit: min/piece, reason: timed on the first ten, from: 2026-10-01}`
	if _, err := s.PutRecord(t.Context(), maker, "overrides", "timed", []byte(record), ""); err != nil {
		t.Fatal(err)
	}
	e, now, err := s.Estimate(t.Context(), bareMix(100), day)
	if err != nil || now == version {
		t.Fatal(now, err)
	}
	found := false
	for _, f := range e.Findings {
		found = found || f.Key == "part/HS-110/op/20/cutting" && f.Severity == "note" && strings.Contains(f.Message, "(20 min/piece in place of ")
	}
	if !found {
		t.Errorf("no finding among %+v", e.Findings)
	}
	sheet, _, err := s.Sheet(t.Context(), bareMix(100), day)
	if f := sheet.Figure("part/HS-110/op/20/cutting"); err != nil || !f.Overridden || f.Value != "20" {
		t.Errorf("%+v, %v", f, err)
	}
	if f := sheet.Figure("part/HS-110/op/20/cutting/computed"); f.Overridden || f.Value == "20" || f.Value == "" {
		t.Errorf("%+v", f)
	}
	result, err := s.WhatIf(t.Context(), bareMix(100), day, []change.Change{{Key: "part/HS-110/op/20/cutting", Value: "19"}})
	if err != nil || len(result.Changes) != 1 || result.Changes[0].Kind != "overrides" || result.Changes[0].ID != "timed" || result.Rebuilt {
		t.Errorf("%+v, %v", result.Changes, err)
	}
	if was, is := result.Before.Variants[0].Full.Value, result.After.Variants[0].Full.Value; was == is {
		t.Error("a minute less costs the same")
	}
	bad := strings.Replace(record, "op/20/cutting", "op/20/handling", 1)
	if _, err := s.PutRecord(t.Context(), maker, "overrides", "timed", []byte(bad), answer.AnyVersion); err != nil {
		t.Fatal(err)
	}
	_, _, err = s.Estimate(t.Context(), bareMix(100), day)
	wantField(t, err, answer.FieldError{Path: "overrides[0]", Message: "change the input itself"})
}

// TestOperationsAreImported previews a table, takes it in, and refuses one against a
// version that has passed.
func TestOperationsAreImported(t *testing.T) {
	t.Parallel()
	s, version := featured(t)
	ctx := context.Background()
	part := change.OperationsOf("HS-110")
	const table = "operation;feature;fin_width_mm\n20;;\n20;TOP;\n20;FINS;0.6\n20;SEAT;\n20;HOLES;\n20;M4;\n20;MIRROR;\n30;;\n40;;\n50;;\n"
	seen, err := s.PreviewTable(ctx, part, []byte(table))
	if err != nil || len(seen.Records) != 1 || len(seen.Records[0].Fields) != 1 || seen.Records[0].Fields[0].Path != "routing[20].features[FINS].fin_width_mm" {
		t.Fatalf("%+v, %v", seen, err)
	}
	if _, now, _ := s.Book(ctx); now != version {
		t.Error("a preview wrote something")
	}
	if _, err := s.ImportTable(ctx, maker, part, []byte(table), ""); answer.CodeOf(err) != answer.VersionMissing {
		t.Error(err)
	}
	if _, err := s.ImportTable(ctx, service.Actor{Name: "reader", Scopes: service.Read}, part, []byte(table), seen.Version); answer.CodeOf(err) != answer.Forbidden {
		t.Error(err)
	}
	done, err := s.ImportTable(ctx, maker, part, []byte(table), seen.Version)
	if err != nil || done.Version == seen.Version {
		t.Fatal(err)
	}
	if _, err := s.ImportTable(ctx, maker, part, []byte(table), seen.Version); answer.CodeOf(err) != answer.Conflict {
		t.Error(err)
	}
	record, err := s.Record(ctx, "parts", "HS-110", 0)
	if err != nil || record.Revision != 2 || !strings.Contains(string(record.Text), "fin_width_mm: 0.6") || record.Version != done.Version {
		t.Errorf("revision %d, %v\n%s", record.Revision, err, record.Text)
	}
	for width, want := range map[string]string{"0.4": "no tool can cut fins", "": "a slot array needs slot_width_mm"} {
		seen, err = s.PreviewTable(ctx, part, []byte("operation,feature,slot_width_mm\n20,,\n20,FINS,"+width+"\n"))
		if err != nil || len(seen.Lacking) == 0 || seen.Lacking[0].Line != 3 || !strings.Contains(seen.Lacking[0].Message, want) {
			t.Errorf("%q: %+v, %v", width, seen.Lacking, err)
		}
	}
	if _, err := s.PreviewTable(ctx, change.OperationsOf("HS-999"), []byte(table)); answer.CodeOf(err) != answer.NotFound {
		t.Error(err)
	}
	if report, err := s.VerifyLog(ctx); err != nil || len(report.Faults) > 0 {
		t.Errorf("%+v, %v", report, err)
	}
}
