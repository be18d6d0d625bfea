package document_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/papers/document"
	"kerfbook/costing/papers/quote"
	"kerfbook/costing/papers/quotetest"
	"kerfbook/costing/papers/show"
)

func pdf(t testing.TB, d *quote.Document, v show.QuoteView, paper document.Paper) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := document.Write(&out, d, v, paper); err != nil {
		t.Fatal(err)
	}
	if dir := os.Getenv("KEEP_FILES"); dir != "" {
		name := strings.ReplaceAll(t.Name(), "/", "-") + "-" + string(paper) + ".pdf"
		if err := os.WriteFile(filepath.Join(dir, name), out.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return out.Bytes()
}

// pdfText is what a reader finds in the file, laid out as it is or word by word with
// its box.
func pdfText(t testing.TB, file []byte, as string) string {
	t.Helper()
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("pdftotext is not installed")
		}
		t.Skip("pdftotext is not installed")
	}
	cmd := exec.Command(tool, as, "-", "-")
	cmd.Stdin = bytes.NewReader(file)
	text, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestQuotePDFSaysEverything(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ destination, term string }{{"PT", "DAP"}, {"GB", "DAP"}, {"US", "DDP"}, {"CH", "EXW"}} {
		t.Run(c.destination+c.term, func(t *testing.T) {
			t.Parallel()
			d, v := quotetest.Issued(t, quotetest.Request(c.destination, c.term))
			for _, paper := range []document.Paper{document.A4, document.Letter} {
				text := pdfText(t, pdf(t, d, v, paper), "-layout")
				for _, want := range wordsOf(v) {
					if !strings.Contains(squeezed(text), squeezed(want)) {
						t.Errorf("%s: %q is missing", paper, want)
					}
				}
			}
		})
	}
}

// wordsOf lists what stands in a document, line by line.
func wordsOf(v show.QuoteView) []string {
	out := append([]string{v.Title, v.Hash, "page 1 of"}, append(v.Seller, v.Customer...)...)
	for _, f := range v.Facts {
		out = append(out, f.Text)
	}
	for _, l := range v.Lines {
		out = append(out, l.Name, l.Quantity.Text, l.Price.Text, l.Total.Text)
	}
	for _, a := range append(append([]show.Amount{}, v.Sums...), v.Arrival...) {
		out = append(out, a.Text)
	}
	return append(out, v.Notes...)
}

// squeezed takes all white space out, which depends on the layout.
func squeezed(s string) string { return strings.Join(strings.Fields(s), "") }

func TestTextStaysText(t *testing.T) {
	t.Parallel()
	for _, bad := range quotetest.Dangerous {
		d, v := quotetest.Issued(t, quotetest.Saying(bad))
		if text := pdfText(t, pdf(t, d, v, document.A4), "-layout"); !strings.Contains(squeezed(text), squeezed(bad)) {
			t.Errorf("%q is not in the PDF", bad)
		}
	}
}

func TestQuotePDFIsTheSameEveryTime(t *testing.T) {
	t.Parallel()
	d, v := quotetest.Issued(t, quotetest.Request("GB", "DAP"))
	first := pdf(t, d, v, document.A4)
	for range 3 {
		if !bytes.Equal(first, pdf(t, d, v, document.A4)) {
			t.Fatal("other bytes")
		}
	}
}

// Thirty lines, a name without spaces and odd characters stay on the paper.
func TestLongQuoteFitsThePages(t *testing.T) {
	t.Parallel()
	b, req := manyTrims(t, 30)
	d, v := quotetest.IssuedFrom(t, b, req)
	// Quotes of earlier versions may have characters that are refused now.
	v.Notes = []string{"=cmd|' /C calc'!A0 \U0001F600 \uFFFE", strings.Repeat("long ", 700)}
	for _, paper := range []document.Paper{document.A4, document.Letter} {
		text := pdfText(t, pdf(t, d, v, paper), "-layout")
		pages := strings.Split(strings.TrimSuffix(text, "\f"), "\f")
		if len(pages) < 4 {
			t.Errorf("%s: %d pages", paper, len(pages))
		}
		for i, page := range pages {
			if !strings.Contains(page, "page "+strconv.Itoa(i+1)+" of "+strconv.Itoa(len(pages))) {
				t.Errorf("%s: page %d does not say so", paper, i+1)
			}
			if rows := strings.Contains(page, "Glow of run"); rows && !strings.Contains(page, "price per piece") {
				t.Errorf("%s: page %d has lines without a head", paper, i+1)
			}
		}
		for _, l := range v.Lines {
			if !strings.Contains(squeezed(text), squeezed(l.Total.Text)) {
				t.Errorf("%s: line %d is missing", paper, l.Number)
			}
		}
		if !strings.Contains(inside(t, pdf(t, d, v, paper), paper), req.Customer.Name) {
			t.Errorf("%s: the name of the customer is cut", paper)
		}
	}
}

// inside wants every word to stand between the margins, and gives the words of
// the right half in a row.
func inside(t *testing.T, file []byte, paper document.Paper) string {
	t.Helper()
	words := boxForm.FindAllStringSubmatch(pdfText(t, file, "-bbox"), -1)
	if len(words) < 300 {
		t.Fatalf("%d words", len(words))
	}
	right, column := map[document.Paper]float64{document.A4: 595.28, document.Letter: 612}[paper]-18/25.4*72, ""
	for _, w := range words {
		xMin, _ := strconv.ParseFloat(w[1], 64)
		if xMax, _ := strconv.ParseFloat(w[2], 64); xMax > right+0.5 {
			t.Errorf("%s: %s ends at %v, beyond %v", paper, w[3], xMax, right)
		}
		if xMin > right/2 {
			column += w[3]
		}
	}
	return column
}

// manyTrims is the demo book with n trims, and a request of all of them with
// names as long as they get.
func manyTrims(t testing.TB, n int) (*book.Book, quote.Request) {
	t.Helper()
	b := booktest.Demo(t)
	p := &b.Products[0]
	glow := p.Trims[1]
	req := quotetest.Request("US", "DDP")
	req.Lines = nil
	for i := range n {
		trim := glow
		trim.ID, trim.Name = bom.ID(fmt.Sprintf("glow-%02d", i)), fmt.Sprintf("Glow of run %d", i)
		if i%3 == 0 {
			trim.Name += " with a name that is long enough to need a second line in the table, and perhaps a third"
		}
		p.Trims = append(p.Trims, trim)
		req.Lines = append(req.Lines, quote.RequestLine{Trim: string(trim.ID), Quantity: fmt.Sprint(10 + i)})
	}
	req.Customer.Name = strings.Repeat("Donaudampfschifffahrtsgesellschaft", 5)
	req.Customer.Address = append(req.Customer.Address, strings.Repeat("W", 190))
	return b, req
}

var boxForm = regexp.MustCompile(`xMin="([0-9.]+)"[^>]*xMax="([0-9.]+)"[^>]*>([^<]*)<`)
