package web_test

import (
	"bytes"
	"context"
	"mime/multipart"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"kerfbook/bom/solid"
)

// plateFile is a model of a plate of 60 × 20 × 12 mm.
const plateFile = "../bom/solid/testdata/plate.stl"

// TestPartFromAModelFile is the walk: from the page of a part to a blank, a mass and a
// finished size from its model file.
func TestPartFromAModelFile(t *testing.T) {
	inBrowser(t)
	s := demoShop(t)
	c := &clerk{tab: s.openSignedIn(t, chrome(t))}
	c.visit("/parts/BASE-D")
	c.press(`a[href="/parts/BASE-D/model"]`)
	c.fields++
	c.do(chromedp.SetUploadFiles(chromedp.CSS("#f-file"), []string{must(filepath.Abs(plateFile))(t)}))
	c.press("#form button[type=submit]")
	c.expect("main", "14.4 cm³")
	c.expect("main", "aluminium plate 12")
	c.atMost("a model file measured", 2, 1, 2)
	c.press(`button[aria-label="Take over the blank from aluminium plate 12"]`)
	c.expect("main", "Saved as the next revision")
	c.atMost("its blank taken over", 1, 0, 1)
	record := must(s.svc.Record(context.Background(), "parts", "BASE-D", 0))(t)
	for _, line := range []string{"mass_g: 38.88", "length_mm: 60", "width_mm: 20", "thickness_mm: 12", "stock: AL-PLATE-12", "length_mm: 62", "width_mm: 22", "kerf_mm: 3"} {
		if !strings.Contains(string(record.Text), line) {
			t.Errorf("the record does not say %q:\n%s", line, record.Text)
		}
	}
}

// TestModelFilesThatCannotBeMeasured: each is refused on the page, with what to do.
func TestModelFilesThatCannotBeMeasured(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.signIn(t)
	checkPage(t, "no file yet", b.page("/parts/BASE-D/model"))
	plate := must(os.ReadFile(plateFile))(t)
	for name, c := range map[string]struct {
		file []byte
		code int
		says string
	}{
		"none":      {nil, http.StatusUnprocessableEntity, "choose an STL or 3MF file"},
		"a table":   {[]byte("operation,feature"), http.StatusUnprocessableEntity, "neither an STL nor a 3MF"},
		"cut off":   {plate[:300], http.StatusUnprocessableEntity, "cut off"},
		"too large": {make([]byte, solid.MaxBytes+2<<20), http.StatusRequestEntityTooLarge, "65 MB"},
		"sound":     {plate, http.StatusOK, "0.432 dm²"},
	} {
		code, text := b.sendModel("/parts/BASE-D/model", c.file)
		if c.code != http.StatusRequestEntityTooLarge {
			checkPage(t, name, text)
		}
		if code != c.code || !strings.Contains(text, c.says) {
			t.Errorf("%s: %d, want %d and %q", name, code, c.code, c.says)
		}
	}
	if code, _ := b.get("/parts/HS-999/model"); code != http.StatusNotFound {
		t.Errorf("a part that is not there gives %d", code)
	}
}

// TestModelThatDoesNotFitTheRouting: a blank in which the features have no room is
// refused by name, and nothing is written.
func TestModelThatDoesNotFitTheRouting(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	_, text := b.sendModel("/parts/HS-010/model", must(os.ReadFile(plateFile))(t))
	form := url.Values{"act": {"take"}, "version": {attrOf(parsed(t, text), "version")}, "stock": {"CU-60X20"}, "blank_length": {"14"}, "length": {"60"}, "width": {"20"}, "thickness": {"12"}}
	code, text := b.post("/parts/HS-010/model", form)
	checkPage(t, "refused", text)
	if code != http.StatusUnprocessableEntity || !strings.Contains(text, "has no room in the blank of 14 × 60 × 20 mm") {
		t.Errorf("%d", code)
	}
}

// sendModel sends a file to be measured, as a browser does.
func (b *browser) sendModel(path string, file []byte) (int, string) {
	b.t.Helper()
	var body bytes.Buffer
	w := multipart.NewWriter(&body)
	part := must(w.CreateFormFile("file", "part.stl"))(b.t)
	part.Write(file)
	w.WriteField("act", "measure")
	w.Close()
	r, err := b.Post(b.shop.URL+path, w.FormDataContentType(), &body)
	return b.read(r, err)
}
