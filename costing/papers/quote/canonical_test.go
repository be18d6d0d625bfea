package quote_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/proof"
	"kerfbook/costing/papers/quote"
)

// small is a document written down by hand, with a figure in every field.
func small() *quote.Document {
	f := func(key, value string) quote.Figure {
		return quote.Figure{Key: "quote/" + key, Value: value, Unit: "GBP"}
	}
	return &quote.Document{
		Number: "2026-0007", Revision: 2, IssuedOn: "2026-11-25", ValidUntil: "2026-12-25", Language: "en",
		Seller:      quote.Party{Name: "Ostrel Workshop", Country: "PT"},
		Customer:    quote.Party{Name: "A & <B> \u2028", Address: []string{"=1+1", "x"}, Country: "GB", Contact: "c", TaxNumber: "t"},
		Destination: "GB", Buyer: "consumer", Channel: "direct", Currency: "GBP",
		Lines: []quote.Line{{Number: 1, Product: "LAMP", Trim: "glow", Name: "lamp, Glow", Choices: []string{"mount: desk"}, HSCode: "940521", Origin: "PT",
			Quantity: quote.Figure{Key: "quote/line/glow/quantity", Value: "2", Unit: "piece"}, Batch: quote.Figure{Key: "mix/glow", Value: "50", Unit: "piece"},
			Price: f("line/glow/price", "60.5"), Total: f("line/glow/total", "121"), Net: f("line/glow/total", "121"),
			Extras: f("line/glow/extras", "9"), Tax: f("line/glow/tax", "26"), ToPay: f("line/glow/to-pay", "156")}},
		Totals:      quote.Totals{Goods: f("goods", "121"), GoodsNet: f("goods", "121"), Delivery: f("delivery", "9"), Net: f("net", "130"), Tax: f("tax", "26"), Total: f("total", "156")},
		Taxes:       []quote.Tax{{Place: "GB", Name: "VAT", Base: f("net", "130"), Rate: quote.Figure{Key: "tax/GB/vat/rate", Value: "0.2"}, Amount: f("tax", "26")}},
		TaxCategory: "S",
		Arrival:     &quote.Arrival{Regime: "small", CustomsValue: f("arrival/customs-value", "121"), Door: f("arrival/door", "0"), Landed: f("arrival/landed", "156")},
		Exchange:    []quote.ExchangeRow{{Label: "selling rate", Rate: f("x", "0.87"), Card: "rate card", Source: "s"}},
		Terms:       quote.Agreement{Delivery: "DAP", Place: "Leeds", Payment: "30 days", LeadTime: "six weeks"},
		Notes:       "first\nsecond", Cautions: []string{"care"}, Unverified: []quote.UnverifiedRow{{Where: "row", CheckedOn: "2026-09-01", Key: "k"}}, Confirmed: true,
		Inputs: quote.Inputs{Day: "2026-11-25", Request: quote.Request{Lines: []quote.RequestLine{{Trim: "glow", Quantity: "2", Batch: "50"}}, ValidDays: 30},
			Mix: []quote.MixInput{{Product: "LAMP", Trim: "glow", Quantity: "50"}}, Book: "kerfbook: 1\n"},
		Graph: json.RawMessage(`{"kerfbook_graph":1,"units":[],"sources":[],"nodes":[],"values":[],"findings":[]}`),
	}
}

// smallHash is the content hash of the small document.
const smallHash = "1712cd01368219da52ccf06a4aafcad073cc8d60daf9181ff2a8ff2eb279787d"

// The bytes of a document are a promise: they may change with Version alone.
func TestCanonicalBytesAreStable(t *testing.T) {
	t.Parallel()
	got, err := small().Encode()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join("testdata", "document.json")
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("the document is written as\n%s\nwant\n%s", got, want)
	}
	hash, err := small().Hash()
	if err != nil || hash != smallHash {
		t.Errorf("hash %s, %v", hash, err)
	}
}

func TestOpenGivesTheSameDocument(t *testing.T) {
	t.Parallel()
	docs := []*quote.Document{small(), build(t, request("PT")), build(t, request("US"))}
	for _, d := range docs {
		opened, hash, err := quote.Open(packed(t, d), nil)
		if want, _ := d.Hash(); hash != want {
			t.Errorf("hash %s, want %s", hash, want)
		}
		if err != nil || !reflect.DeepEqual(d, opened) {
			t.Errorf("%s comes out of its pack otherwise: %v", d.Destination, err)
		}
	}
}

func TestSameRequestSameBytes(t *testing.T) {
	t.Parallel()
	first, _ := build(t, request("CH")).Encode()
	for range 5 {
		again, err := build(t, request("CH")).Encode()
		if err != nil || !bytes.Equal(first, again) {
			t.Fatal("other bytes", err)
		}
	}
}

func TestStrangeDocumentsAreRefused(t *testing.T) {
	t.Parallel()
	data, err := small().Encode()
	if err != nil {
		t.Fatal(err)
	}
	for name, bad := range map[string]string{
		"version": strings.Replace(string(data), `{"kerfbook_quote":1`, `{"kerfbook_quote":2`, 1),
		"field":   strings.Replace(string(data), `"revision":2`, `"revision":2,"margin":"1"`, 1),
		"nothing": "", "null": `{"kerfbook_quote":1,"document":null}` + "\n",
	} {
		var form *quote.FormError
		bytes, err := quote.Pack([]byte(bad))
		if err != nil {
			t.Fatal(err)
		}
		if _, _, err := quote.Open(bytes, nil); bad == string(data) || !errors.As(err, &form) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, _, err := quote.Open(data, nil); err == nil {
		t.Error("opened what is not packed")
	}
}

// A quote is shown and explained from its bytes, whatever has become of the book
// since.
func TestBytesAreEnough(t *testing.T) {
	t.Parallel()
	b := demo(t)
	d := buildFrom(t, b, request("US"))
	kept := packed(t, d)
	g, values, err := d.Computed()
	if err != nil {
		t.Fatal(err)
	}
	total, _ := g.Find("quote/total")
	want := proof.Explain(g, values, total, -1)

	b.RateCards, b.Parts, b.Products, b.Destinations = nil, nil, nil, nil // and the day is another
	back, _, err := quote.Open(kept, nil)
	if err != nil {
		t.Fatal(err)
	}
	g, values, err = back.Computed()
	if err != nil {
		t.Fatal(err)
	}
	id, ok := g.Find("quote/total")
	if got := proof.Explain(g, values, id, -1); !ok || !reflect.DeepEqual(got, want) {
		t.Error("the proof has changed")
	}
	if want.Value != back.Totals.Total.Value || steps(want) < 500 {
		t.Errorf("total %s with %d steps, document %s", want.Value, steps(want), back.Totals.Total.Value)
	}
	for id := range graph.ID(g.Len()) {
		if p := proof.Explain(g, values, id, 1); p.Key == "" || p.How == "" {
			t.Fatalf("figure %d has no proof", id)
		}
	}
}

func steps(s proof.Step) int {
	n := 1
	for _, sub := range s.Steps {
		n += steps(sub)
	}
	return n
}

func BenchmarkBuild(b *testing.B) {
	book := demo(b)
	for b.Loop() {
		if _, err := quote.Build(book, request("GB"), day); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOpenAndCompute(b *testing.B) {
	kept := packed(b, build(b, request("GB")))
	b.Run("open", func(b *testing.B) {
		for b.Loop() {
			if _, _, err := quote.Open(kept, nil); err != nil {
				b.Fatal(err)
			}
		}
	})
	d, _, _ := quote.Open(kept, nil)
	b.Run("compute", func(b *testing.B) {
		for b.Loop() {
			if _, _, err := d.Computed(); err != nil {
				b.Fatal(err)
			}
		}
	})
}
