package quote_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"kerfbook/costing/papers/quote"
)

// Every text of a request that goes on the PDF is refused at its field, naming the
// characters that would be drawn as boxes.
func TestLettersThePDFLacksAreRefused(t *testing.T) {
	t.Parallel()
	req := request("PT")
	req.Customer = quote.Party{Name: "山田商店", Address: []string{"Rua 1", "東京"}, Contact: "김", TaxNumber: "नं", Country: "PT"}
	req.Seller = quote.Party{Address: []string{"שלום"}, Contact: "نور", TaxNumber: "ไฟ"}
	req.Delivery.Place, req.PaymentTerms, req.LeadTime, req.Notes = "大阪", "支払", "週", "one\n\U0001F4A1"
	got := fieldsOf(t, req)
	want := []string{"/customer/name", "/customer/contact", "/customer/tax_number", "/customer/address/1", "/seller/contact", "/seller/tax_number",
		"/seller/address/0", "/delivery/place", "/payment_terms", "/lead_time", "/notes"}
	if !slices.Equal(got, want) {
		t.Errorf("refused at %v, want %v", got, want)
	}
	_, err := quote.Build(demo(t), req, day)
	if text := err.Error(); !strings.Contains(text, "customer.name: the PDF of a quote cannot draw 山 (U+5C71), 田 (U+7530), 商 (U+5546) and 1 more; write it in letters such as Latin, Greek or Cyrillic") {
		t.Error(text)
	}
}

// So is what the document takes from the book.
func TestLettersOfTheBookThePDFLacks(t *testing.T) {
	t.Parallel()
	b := demo(t)
	b.Name, b.Products[0].Name, b.Products[0].Safety = "工房", "ランプ", []string{"注意"}
	_, err := quote.Build(b, request("PT"), day)
	var invalid *quote.InvalidError
	if !errors.As(err, &invalid) || len(invalid.Fields) != 4 {
		t.Fatal(err)
	}
	for i, want := range []string{"name of the shop in the book", "name of the line in the book", "name of the line in the book", "caution in the book"} {
		if f := invalid.Fields[i]; !strings.Contains(f.Message, want) || !strings.Contains(f.Message, "cannot draw") {
			t.Errorf("%+v, want %q", f, want)
		}
	}
	if at := invalid.Fields[1]; at.Pointer != "/lines/0/trim" {
		t.Errorf("%+v", at)
	}
}
