package service_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
)

// set reads several records.
func set(t *testing.T, text string) []change.Draft {
	t.Helper()
	drafts := must(change.ReadSet([]byte(text)))(t)
	return drafts
}

const partAndOffer = "records:\n  parts: [{number: CLIP-3, name: wire clip, kind: bought}]\n" +
	"  offers:\n    - {for: CLIP-3, supplier: SUP, unit: piece, currency: EUR, breaks: [{from: 1, price: 0.30}]}\n"

// TestSaveSeveral saves records that need one another in one change, which is one
// step of the book's version and nothing if one record is refused.
func TestSaveSeveral(t *testing.T) {
	t.Parallel()
	s, v := stored(t)
	ctx := t.Context()
	lacking, err := s.Preview(ctx, set(t, partAndOffer))
	if err != nil || len(lacking) != 1 || lacking[0].Pointer != "/records/offers/0/supplier" || lacking[0].Line != 4 {
		t.Errorf("an offer of a supplier that is not there: %+v, %v", lacking, err)
	}
	wrong := partAndOffer + "  suppliers: [{id: SUP, name: new}, {id: DRUSAVEL, name: x}]\nif_match: {suppliers/DRUSAVEL: 9-old}\n"
	e := wantCode(t, second(s.Save(ctx, maker, set(t, wrong))), answer.Conflict)
	if len(e.Fields) != 1 || e.Fields[0].Pointer != "/records/suppliers/1" {
		t.Errorf("a stale version among several: %+v", e.Fields)
	}
	e = wantCode(t, second(s.Save(ctx, maker, set(t, strings.Replace(partAndOffer, "piece", "sheet", 1)))), answer.Invalid)
	if len(e.Fields) != 1 || e.Fields[0].Pointer != "/records/offers/0/unit" {
		t.Errorf("a fault among several: %+v", e.Fields)
	}
	if _, now, err := s.Book(ctx); err != nil || now != v {
		t.Errorf("a refused change is in the book: %v", err)
	}
	done, err := s.Save(ctx, maker, set(t, partAndOffer+"  suppliers: [{id: SUP, name: new}]\n"))
	if err != nil || len(done.Records) != 3 || len(done.Lacking) > 0 {
		t.Fatalf("%+v, %v", done, err)
	}
	if _, now, err := s.Book(ctx); err != nil || now != done.Version {
		t.Errorf("the version is %s, not %s, %v", now, done.Version, err)
	}
	part := must(s.Record(ctx, "parts", "CLIP-3", 0))(t)
	done, err = s.Save(ctx, maker, set(t, "records: {suppliers: [{id: SUP2, name: other}]}\nremove: {parts: [CLIP-3]}\nif_match: {parts/CLIP-3: "+string(part.Version)+"}\n"))
	if err != nil || len(done.Records) != 2 || !done.Records[1].Deleted || len(done.Lacking) != 1 || !strings.Contains(done.Lacking[0].Message, "offers CLIP-3.SUP: there is no part or stock CLIP-3") {
		t.Errorf("%+v, %v", done, err)
	}
	if report, err := s.VerifyLog(ctx); err != nil || len(report.Faults) > 0 {
		t.Errorf("the log: %+v, %v", report, err)
	}
}

// TestWithoutAnyRecord takes each record of the demo out by itself. The book is
// checked and priced without it: a batch that rests on it names it, and
// what is taken out and put back gives the book as it was.
func TestWithoutAnyRecord(t *testing.T) {
	t.Parallel()
	s, _ := stored(t)
	ctx := t.Context()
	before, _, err := s.ExportBook(ctx)
	if err != nil {
		t.Fatal(err)
	}
	short, removed := 0, 0
	for _, kind := range change.Kinds() {
		list, _, err := s.Records(ctx, kind, "", 500)
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range list {
			if kind == "shop" {
				continue
			}
			r := must(s.Record(ctx, kind, h.ID, 0))(t)
			lacking, err := s.DeleteRecord(ctx, maker, kind, h.ID, r.Version)
			if err != nil {
				t.Fatalf("%s %s: %v", kind, h.ID, err)
			}
			prices, _, err := s.PriceList(ctx, answer.PriceRequest{Day: day, Quantities: []decimal.Decimal{decimal.NewFromInt(100)}})
			if err != nil && len(lacking) > 0 {
				t.Errorf("without %s %s: %v", kind, h.ID, err)
			}
			for _, e := range prices.Estimates {
				told := slices.ContainsFunc(e.Findings, func(f answer.Finding) bool { return f.Severity == "gap" || f.Severity == "error" })
				if told {
					short++
				}
				if !told && (len(e.Variants) == 0 || e.Variants[0].Full.Value == "") {
					t.Errorf("without %s %s a batch is short of figures and says nothing", kind, h.ID)
				}
			}
			if _, err := s.PutRecord(ctx, maker, kind, h.ID, r.Text, ""); err != nil {
				t.Fatalf("%s %s is not put back: %v", kind, h.ID, err)
			}
			removed++
		}
	}
	after, _, err := s.ExportBook(ctx)
	if err != nil || len(after) != len(before) {
		t.Errorf("the book has %d bytes, and had %d, %v", len(after), len(before), err)
	}
	if removed < 80 || short < 50 {
		t.Errorf("%d records taken out, %d batches short of figures", removed, short)
	}
}
