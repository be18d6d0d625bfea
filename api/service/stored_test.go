package service_test

import (
	"crypto/rand"
	"encoding/json"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/testdata"
)

// opened is a service with a book in a database of its own.
func opened(t testing.TB, now func() time.Time, text []byte) (*service.Service, answer.Version) {
	t.Helper()
	st := must(store.Open(t.Context(), filepath.Join(t.TempDir(), "book.db")))(t)
	t.Cleanup(func() { _ = st.Close() })
	s := service.New(st, now, rand.Reader)
	done := must(s.ImportBook(t.Context(), maker, text, ""))(t)
	return s, done.Version
}

func atTen() time.Time { return time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC) }

// stored is a service with the demo book.
func stored(t testing.TB) (*service.Service, answer.Version) {
	t.Helper()
	return opened(t, atTen, testdata.Demo)
}

// wantField wants a fault at a place.
func wantField(t *testing.T, err error, want answer.FieldError) {
	t.Helper()
	e := wantCode(t, err, answer.Invalid)
	for _, f := range e.Fields {
		if f.Path == want.Path && f.Pointer == want.Pointer && f.Line == want.Line && f.Column == want.Column && strings.Contains(f.Message, want.Message) {
			return
		}
	}
	t.Errorf("no fault %+v among %+v", want, e.Fields)
}

func TestEmptyStore(t *testing.T) {
	t.Parallel()
	st, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "book.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	s, ctx := service.New(st, time.Now, rand.Reader), t.Context()
	_, _, err = s.Book(ctx)
	wantCode(t, err, answer.NotFound)
	_, _, err = s.Estimate(ctx, estimate.NewMix("LAMP", decimal.NewFromInt(1), "plain"), day)
	wantCode(t, err, answer.NotFound)
	_, err = s.PutRecord(ctx, maker, "suppliers", "A", []byte("{id: A, name: a}"), "")
	wantCode(t, err, answer.NotFound)
	_, err = s.ImportBook(ctx, maker, testdata.Demo, "some version")
	wantCode(t, err, answer.Conflict)
	if err := s.Ready(ctx); err != nil {
		t.Error(err)
	}
}

func TestRecordsReadBackAsJSON(t *testing.T) {
	t.Parallel()
	s, v := stored(t)
	ctx, records := t.Context(), 0
	for _, kind := range change.Kinds() {
		list, _, err := s.Records(ctx, kind, "", 500)
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range list {
			r, err := s.Record(ctx, kind, h.ID, 0)
			if err != nil || r.Version != h.Version || !json.Valid(r.JSON) {
				t.Fatalf("%s %s: %v, %s", kind, h.ID, err, r.JSON)
			}
			again, err := s.PutRecord(ctx, maker, kind, h.ID, r.JSON, h.Version)
			if err != nil || again.Revision != 1 || string(again.Text) != string(r.Text) {
				t.Errorf("%s %s put back as JSON: revision %d, %v\n%s\n%s", kind, h.ID, again.Revision, err, r.Text, again.Text)
			}
			records++
		}
	}
	if _, now, err := s.Book(ctx); err != nil || now != v || records < 80 {
		t.Errorf("%d records put back, version %s, now %s, %v", records, v, now, err)
	}
}

func TestFaultsHaveTheirPlace(t *testing.T) {
	t.Parallel()
	s, _ := stored(t)
	ctx := t.Context()
	put := func(kind, id, body string) error {
		_, err := s.PutRecord(ctx, maker, kind, id, []byte(body), answer.AnyVersion)
		return err
	}
	wantField(t, put("suppliers", "DRUSAVEL", "id: DRUSAVEL\nnmae: x\n"), answer.FieldError{Path: "nmae", Pointer: "/nmae", Line: 2, Column: 1, Message: "did you mean name"})
	wantField(t, put("suppliers", "DRUSAVEL", "id: USTRELIN\nname: x\n"), answer.FieldError{Path: "id", Pointer: "/id", Line: 1, Column: 5, Message: "USTRELIN, not DRUSAVEL"})
	wantField(t, put("work_centres", "SAW", `{"id":"SAW","name":"saw","machine_rate_per_h":"1e3"}`),
		answer.FieldError{Path: "machine_rate_per_h", Pointer: "/machine_rate_per_h", Line: 1, Column: 47, Message: "without an exponent"})
	part := "number: NEW-1\nname: new\nkind: made\nrouting:\n  - {number: 10, name: mill, kind: machining, work_centre: NOWHERE, setup_min: 1, piece_min: 1}\nblank: {stock: CU-60X20, length_mm: 10}\n"
	saved, err := s.PutRecord(ctx, maker, "parts", "NEW-1", []byte(part), "")
	if err != nil {
		t.Fatal(err)
	}
	lacks := answer.FieldError{Path: "routing[0].work_centre", Pointer: "/routing/0/work_centre", Line: 5, Column: 60, Message: "there is no work centre NOWHERE"}
	if len(saved.Lacking) != 1 || saved.Lacking[0] != lacks {
		t.Errorf("a part of a work centre that is not there lacks %+v", saved.Lacking)
	}
	left := must(s.DeleteRecord(ctx, maker, "suppliers", "DRUSAVEL", answer.AnyVersion))(t)
	if len(left) < 3 || !strings.HasPrefix(left[0].Path, "offers[") || !strings.Contains(left[0].Message, "offers ") || left[0].Line != 0 {
		t.Errorf("deleting a supplier that has offers: %+v", left)
	}
	_, err = s.PutRecord(ctx, service.Actor{Name: "reader", Scopes: service.Read}, "suppliers", "DRUSAVEL", []byte("{id: DRUSAVEL, name: x}"), "")
	wantCode(t, err, answer.Forbidden)
	wantCode(t, put("gadgets", "x", "{}"), answer.NotFound)
	_, err = s.DeleteRecord(ctx, maker, "shop", "shop", answer.AnyVersion)
	wantCode(t, err, answer.Invalid)
	if _, revisions, err := s.Records(ctx, "suppliers", "", 1); err != nil || revisions == "" {
		t.Error(err)
	}
}

func TestImportFaults(t *testing.T) {
	t.Parallel()
	s, v := stored(t)
	bad := strings.Replace(string(testdata.Demo), "unit: hundred", "unit: sheet", 1)
	line := 1 + strings.Count(bad[:strings.Index(string(testdata.Demo), "unit: hundred")], "\n")
	_, err := s.ImportBook(t.Context(), maker, []byte(bad), v)
	e := wantCode(t, err, answer.Invalid)
	if len(e.Fields) != 1 || e.Fields[0].Line != line || !strings.HasPrefix(e.Fields[0].Pointer, "/offers/") || !strings.HasSuffix(e.Fields[0].Pointer, "/unit") {
		t.Errorf("faults %+v, want one on line %d", e.Fields, line)
	}
	_, err = s.ImportBook(t.Context(), maker, []byte("kerfbook: 1\nname: x\ncountry: \"PT\"\ncurrency: EUR\nrate_cards: [{id: a, from: 2026-01-01}]\nname: y\n"), v)
	if e := wantCode(t, err, answer.Invalid); len(e.Fields) != 1 || e.Fields[0].Line != 6 || e.Fields[0].Pointer != "/name" {
		t.Errorf("faults %+v", e.Fields)
	}
	if _, now, err := s.Book(t.Context()); err != nil || now != v {
		t.Errorf("the book has changed: %v", err)
	}
	loose := strings.Replace(string(testdata.Demo), "supplier: DRUSAVEL", "supplier: DRUSAVOL", 1)
	done, err := s.ImportBook(t.Context(), maker, []byte(loose), v)
	if err != nil || !slices.ContainsFunc(done.Warnings, func(w answer.FieldError) bool {
		return strings.Contains(w.Message, "no supplier DRUSAVOL") && w.Line > 0
	}) {
		t.Errorf("a book with a reference to nothing is imported with %+v, %v", done.Warnings, err)
	}
}

// TestRecordsOfTheSameName keeps an expired offer and last year's carrier beside
// those of today.
func TestRecordsOfTheSameName(t *testing.T) {
	t.Parallel()
	s, v := stored(t)
	ctx := t.Context()
	b := demoBook(t)
	old := b.Offers[0]
	old.ValidUntil = "2025-12-31"
	b.Offers = append(b.Offers, old)
	text := must(b.Write())(t)
	done, err := s.ImportBook(ctx, maker, text, v)
	if err != nil || done.Created != 1 || done.Changed > 0 {
		t.Fatalf("%+v, %v", done, err)
	}
	id := string(old.For) + "." + string(old.Supplier)
	r := must(s.Record(ctx, "offers", id+".2025-12-31", 0))(t)
	if _, err := s.PutRecord(ctx, maker, "offers", id+".2025-12-31", r.JSON, r.Version); err != nil {
		t.Error(err)
	}
	again, _, err := s.ExportBook(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if got, _, err := book.Parse(again); err != nil || !reflect.DeepEqual(got, b) {
		t.Errorf("the book is another one, %v", err)
	}
}

// TestStoredFiguresAreThoseOfTheBook holds what comes from memory, for a graph
// built with another quantity, against a book that is not stored.
func TestStoredFiguresAreThoseOfTheBook(t *testing.T) {
	t.Parallel()
	s, v := stored(t)
	b := demoBook(t)
	quantities := []decimal.Decimal{decimal.NewFromInt(100), decimal.NewFromInt(1), decimal.NewFromInt(2500)}
	for _, together := range []bool{false, true} {
		req := answer.PriceRequest{Day: day, Quantities: quantities, Together: together}
		want := must(answer.Of(b).Price(t.Context(), req))(t)
		for range 2 { // the second time from memory
			got, version, err := s.PriceList(t.Context(), req)
			if err != nil || version != v || asJSON(t, got) != asJSON(t, want) {
				t.Errorf("the stored price list differs (together %v), %v", together, err)
			}
		}
	}
	for _, q := range []int64{3, 700} {
		mix := estimate.NewMix("LAMP", decimal.NewFromInt(q), "glow")
		for _, key := range []string{"variant/glow/each/full", "part/HS-010/need"} {
			fresh := must(answer.Of(b).Sheet(t.Context(), mix, day))(t)
			want := must(fresh.Explain(key, -1))(t)
			got, _, err := s.ExplainKey(t.Context(), mix, day, key, -1)
			if err != nil || asJSON(t, got) != asJSON(t, want) {
				t.Errorf("the stored proof of %s at %d differs, %v", key, q, err)
			}
		}
	}
}

func asJSON(t *testing.T, v any) string {
	t.Helper()
	text := must(json.Marshal(v))(t)
	return string(text)
}

func TestRefusedBatches(t *testing.T) {
	t.Parallel()
	s, _ := stored(t)
	ctx := t.Context()
	one := decimal.NewFromInt(1)
	for name, c := range map[string]struct {
		mix  []estimate.MixLine
		day  bom.Date
		want answer.Code
	}{
		"no line":         {nil, day, answer.Invalid},
		"no day":          {estimate.NewMix("LAMP", one, "glow"), "yesterday", answer.Invalid},
		"no such product": {estimate.NewMix("SHIP", one, "glow"), day, answer.Invalid},
		"no such trim":    {estimate.NewMix("LAMP", one, "gloom"), day, answer.Invalid},
		"no such choice":  {[]estimate.MixLine{{Product: "LAMP", Trim: "glow", Choices: map[bom.ID]bom.ID{"mount": "moon"}, Quantity: bom.Whole(1)}}, day, answer.Invalid},
		"twice":           {estimate.NewMix("LAMP", one, "glow", "glow"), day, answer.Invalid},
		"nothing":         {estimate.NewMix("LAMP", decimal.Zero, "glow"), day, answer.Invalid},
		"before any card": {estimate.NewMix("LAMP", one, "glow"), "1999-01-01", answer.Invalid},
		"huge":            {estimate.NewMix("LAMP", decimal.New(1, 61), "glow"), day, answer.Invalid},
		"long":            {make([]estimate.MixLine, 1000), day, answer.TooLarge},
	} {
		if _, _, err := s.Estimate(ctx, c.mix, c.day); err == nil || answer.CodeOf(err) != c.want {
			t.Errorf("%s: %v", name, err)
		}
	}
	_, _, err := s.ExplainKey(ctx, estimate.NewMix("LAMP", one, "glow"), day, "variant/glow/ful-cost", 1)
	wantCode(t, err, answer.NotFound)
	_, _, err = s.PriceList(ctx, answer.PriceRequest{Day: day, Trims: []bom.ID{"gloom"}, Quantities: []decimal.Decimal{one}})
	wantCode(t, err, answer.Invalid)
	_, _, err = s.PriceList(ctx, answer.PriceRequest{Day: day, Quantities: slices.Repeat([]decimal.Decimal{one}, 1000)})
	wantCode(t, err, answer.TooLarge)
}

const setup = "part/HS-010/op/20/setup-time"

func TestWhatIfIsWhatSavingGives(t *testing.T) {
	t.Parallel()
	s, v := stored(t)
	ctx := t.Context()
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(150), "glow")
	for name, changes := range map[string][]change.Change{
		"one input":                {{Key: setup, Value: "47.5"}},
		"two inputs of one record": {{Key: setup, Value: "12"}, {Key: "part/HS-010/mass", Value: "151"}},
		"a rate":                   {{Key: "work-centre/LATHE/machine-rate", Value: "61.20"}, {Key: "rate-card/selling", Value: "0.09"}},
		"what a rate is built of":  {{Key: "work-centre/MILL/hour-rate/replacement", Value: "231000"}},
		"a decision taken anew":    {{Key: "part/SH-ACR/blank-diameter", Value: "131"}},
	} {
		t.Run(name, func(t *testing.T) {
			what := must(s.WhatIf(ctx, mix, day, changes))(t)
			if what.Version != v || what.Rebuilt != (name == "a decision taken anew") || len(what.Changes) != len(changes) {
				t.Errorf("version %s, rebuilt %v, %d changes", what.Version, what.Rebuilt, len(what.Changes))
			}
			before, _, err := s.Estimate(ctx, mix, day)
			if err != nil || asJSON(t, before) != asJSON(t, what.Before) || asJSON(t, before) == asJSON(t, what.After) {
				t.Errorf("before is not what it is now, or nothing changes; %v", err)
			}
			next := must(s.ApplyChangeIn(ctx, maker, mix, day, changes, v))(t)
			after, version, err := s.Estimate(ctx, mix, day)
			if err != nil || version != next || asJSON(t, after) != asJSON(t, what.After) {
				t.Errorf("saved, the figures are others than shown before; %v", err)
			}
			wantCode(t, second(s.ApplyChangeIn(ctx, maker, mix, day, changes, v)), answer.Conflict)
			v = next
		})
	}
	if r, err := s.Record(ctx, "parts", "HS-010", 0); err != nil || r.Revision != 3 {
		t.Errorf("HS-010 is at revision %d, %v", r.Revision, err)
	}
	if report, err := s.VerifyLog(ctx); err != nil || len(report.Faults) > 0 {
		t.Errorf("%+v, %v", report, err)
	}
}

func second[T any](_ T, err error) error { return err }

// TestWhatIfOfTheQuestion changes what is no part of the book.
func TestWhatIfOfTheQuestion(t *testing.T) {
	t.Parallel()
	s, v := stored(t)
	ctx := t.Context()
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(150), "glow")
	changes := []change.Change{{Key: "mix/glow", Value: "900"}}
	what := must(s.WhatIf(ctx, mix, day, changes))(t)
	more, _, err := s.Estimate(ctx, estimate.NewMix("LAMP", decimal.NewFromInt(900), "glow"), day)
	if err != nil || asJSON(t, more) != asJSON(t, what.After) || what.Changes[0].Before.Value != "150" || what.Changes[0].After.Value != "900" {
		t.Errorf("900 pieces are not 900 pieces: %+v, %v", what.Changes, err)
	}
	tax := []change.Change{{Key: "tax/DE/vat/2024-01-01/rate", Value: "0.25"}}
	if what, err = s.WhatIf(ctx, mix, day, tax); err != nil || asJSON(t, what.Before) == asJSON(t, what.After) {
		t.Errorf("another tax changes nothing, %v", err)
	}
	for _, c := range [][]change.Change{changes, tax} {
		wantField(t, second(s.ApplyChangeIn(ctx, maker, mix, day, c, v)), answer.FieldError{Path: c[0].Key, Pointer: "/0/value", Message: "no part of the book"})
	}
	wantCode(t, second(s.WhatIf(ctx, mix, day, []change.Change{{Key: "mix/glow", Value: "0"}})), answer.Invalid)
}

func TestRefusedChanges(t *testing.T) {
	t.Parallel()
	s, v := stored(t)
	ctx := t.Context()
	mix := estimate.NewMix("LAMP", decimal.NewFromInt(150), "glow")
	for _, c := range []struct {
		key, value string
		want       answer.FieldError
	}{
		{"no/such/key", "1", answer.FieldError{Pointer: "/1/key", Message: "no figure"}},
		{"variant/glow/each/full", "1", answer.FieldError{Pointer: "/1/key", Message: "is no input"}},
		{setup, "2", answer.FieldError{Pointer: "/1/value", Message: "twice"}},
		{"part/HS-010/mass", "1,5", answer.FieldError{Pointer: "/1/value", Message: "point for decimals"}},
		{"part/HS-010/mass", "-1", answer.FieldError{Pointer: "/1/value", Message: "more than 0"}},
		{"carrier/ROAD/zone/home/up-to-5/mass", "99", answer.FieldError{Message: "must rise"}},
	} {
		changes := []change.Change{{Key: setup, Value: "20"}, {Key: c.key, Value: c.value}}
		for _, err := range []error{
			second(s.WhatIf(ctx, mix, day, changes)), second(s.ApplyChangeIn(ctx, maker, mix, day, changes, v)), second(s.ApplyChange(ctx, maker, changes, v)),
		} {
			e := wantCode(t, err, answer.Invalid)
			if len(e.Fields) == 0 || !slices.ContainsFunc(e.Fields, func(f answer.FieldError) bool {
				return (c.want.Pointer == "" || f.Pointer == c.want.Pointer) && strings.Contains(f.Message, c.want.Message)
			}) {
				t.Errorf("%s = %s: %+v", c.key, c.value, e.Fields)
			}
		}
	}
	wantCode(t, second(s.ApplyChange(ctx, maker, []change.Change{{Key: setup, Value: "20"}}, "")), answer.VersionMissing)
	wantCode(t, second(s.ApplyChange(ctx, service.Actor{Name: "r", Scopes: service.Read}, []change.Change{{Key: setup, Value: "20"}}, v)), answer.Forbidden)
	wantCode(t, second(s.ApplyChange(ctx, maker, nil, v)), answer.Invalid)
}

// TestChangeFindsInputsOfOtherChoices changes a part that no trim has as it is
// sold.
func TestChangeFindsInputsOfOtherChoices(t *testing.T) {
	t.Parallel()
	s, v := stored(t)
	ctx := t.Context()
	wall := []estimate.MixLine{{Product: "LAMP", Trim: "glow", Choices: map[bom.ID]bom.ID{"mount": "wall"}, Quantity: bom.Whole(10)}}
	key := "product/LAMP/op/10/setup-time"
	if _, err := s.WhatIf(ctx, wall, day, []change.Change{{Key: key, Value: "99"}}); err != nil {
		t.Fatal(err)
	}
	if next, err := s.ApplyChange(ctx, maker, []change.Change{{Key: key, Value: "99"}}, v); err != nil || next == v {
		t.Errorf("version %s, %v", next, err)
	}
	b, _, err := s.Book(ctx)
	if err != nil || b.Products[0].Routing[0].SetupMin.Likely.String() != "99" {
		t.Errorf("set-up time is not 99, %v", err)
	}
}

// must wants a call to work and gives its value.
func must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}
