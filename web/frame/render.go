package frame

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"strings"
)

//go:embed templates/*.html static/*
var Files embed.FS

// Page is what every page has around its own part.
type Page struct {
	Title    string
	Shop     string
	Here     string // which entry of the navigation this is
	Query    string // the view, kept from page to page
	SignedIn bool
	Costs    bool   // whoever looks may see costs
	Who      string // is signed in, where there are people
	Release  string // of the program
	Written  string // a number and a day as the person writes them
	Problems Problems
	Notice   string
	Undo     string // address of the change that the notice is about, where it can be undone
	Reason   string // of a change, as typed
	Unread   []Link // stored records that cannot be read
	Cautions []string
	Batch    BatchLine // what the figures are of
	Assets   assets
	Secret   bool // holds a secret; is not packed
	Body     any
}

// Link is an entry of the navigation.
type Link struct {
	Label, Href string
	Current     bool
}

// With gives an address that keeps the view.
func (p Page) With(path string) string {
	if p.Query == "" {
		return path
	}
	return path + "?" + p.Query
}

// Work lists the pages of the day's work in its order.
func (p Page) Work() []Link {
	if !p.Costs {
		return []Link{{"Prices", "/prices", p.Here == "prices"}, {"Quotes", "/quotes", p.Here == "quotes"}}
	}
	return []Link{
		{"Today", p.With("/"), p.Here == "start"},
		{"Parts", p.With("/parts"), p.Here == "parts"},
		{"Trims", p.With("/trims"), p.Here == "trims"},
		{"What if", p.With("/change"), p.Here == "what-if"},
		{"Where it sells", p.With("/landed"), p.Here == "landed"},
		{"Quotes", "/quotes", p.Here == "quotes" || p.Here == "prices"},
	}
}

// Shelf lists what the book is made of.
func (p Page) Shelf() []Link {
	if !p.Costs {
		return nil
	}
	return []Link{
		{"Rates", "/rates", p.Here == "rates"},
		{"Sources", "/sources", p.Here == "sources"},
		{"Book", "/book", p.Here == "book"},
		{"Changes", "/changes", p.Here == "changes"},
		{"Shop", "/shop", p.Here == "shop"},
	}
}

// assets are the addresses of the files every page needs. They hold a hash, so
// that browsers may keep them for good.
type assets struct {
	Style, Script, Icon string
}

// Pages holds the parsed templates by the name of their file, and the static
// files by their address.
type Pages struct {
	Templates map[string]*template.Template
	static    map[string]staticFile
	assets    assets
}

// shared are the templates that every page may use.
var shared = [...]string{"layout", "charts", "costpages"}

// LoadPages parses every template with the shared ones.
func LoadPages() (*Pages, error) {
	names, err := fs.Glob(Files, "templates/*.html")
	if err != nil {
		return nil, err
	}
	around, err := template.ParseFS(Files, "templates/layout.html", "templates/charts.html", "templates/costpages.html")
	if err != nil {
		return nil, err
	}
	p := &Pages{Templates: map[string]*template.Template{}, static: map[string]staticFile{}}
	for _, name := range names {
		base := strings.TrimSuffix(path.Base(name), ".html")
		if slices.Contains(shared[:], base) {
			continue
		}
		t, err := around.Clone()
		if err != nil {
			return nil, err
		}
		if t, err = t.ParseFS(Files, name); err != nil {
			return nil, err
		}
		p.Templates[base] = t.Option("missingkey=error")
	}
	return p, p.loadStatic()
}

func (p *Pages) loadStatic() error {
	entries, err := fs.ReadDir(Files, "static")
	if err != nil {
		return err
	}
	at := map[string]string{}
	for _, e := range entries {
		data, err := fs.ReadFile(Files, "static/"+e.Name())
		if err != nil {
			return err
		}
		sum := sha256.Sum256(data)
		address := "/static/" + hex.EncodeToString(sum[:6]) + "/" + e.Name()
		if p.static[address], err = newStaticFile(e.Name(), data); err != nil {
			return err
		}
		at[e.Name()] = address
	}
	p.assets = assets{at["style.css"], at["script.js"], at["icon.svg"]}
	return nil
}

// Render executes a page in memory, so that a fault never leaves half a page.
func (p *Pages) Render(name string, data Page) ([]byte, error) {
	t, ok := p.Templates[name]
	if !ok {
		return nil, fmt.Errorf("no page %q", name)
	}
	data.Assets = p.assets
	var out bytes.Buffer
	if err := t.ExecuteTemplate(&out, "layout", data); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// ServeStatic sends a file that never changes under its address; false if there
// is none.
func (p *Pages) ServeStatic(w http.ResponseWriter, r *http.Request) bool {
	f, ok := p.static[r.URL.Path]
	if !ok {
		return false
	}
	h := w.Header()
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	h.Set("Content-Type", f.mediaType)
	h.Set("Vary", "Accept-Encoding")
	body := f.plain
	if acceptsGzip(r) {
		h.Set("Content-Encoding", "gzip")
		body = f.packed
	}
	w.Write(body)
	return true
}
