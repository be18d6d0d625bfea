package frame

import (
	"bytes"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/net/html"

	"kerfbook/web/notation"
)

// styleCookie keeps how a person writes numbers and days; it is no secret.
const styleCookie = "kerfbook-style"

// styleOf is how a person writes: as chosen, else as the browser suggests.
func styleOf(r *http.Request) notation.Style {
	if kept, err := r.Cookie(styleCookie); err == nil {
		mark, days, _ := strings.Cut(kept.Value, ".")
		if s, ok := notation.OfWords(mark, days); ok {
			return s
		}
	}
	return notation.OfLanguages(r.Header.Get("Accept-Language"))
}

// KeepStyle keeps how the person writes, in this browser.
func (c *Call) KeepStyle(s notation.Style) {
	mark, days := s.Words()
	c.keep(styleCookie, mark+"."+days)
}

// seenCookie keeps which change was the last that a person had seen.
const seenCookie = "kerfbook-seen"

// SeenChange is the number of the last change that the person has seen, in this browser.
func (c *Call) SeenChange() (number int64, ok bool) {
	kept, err := c.R.Cookie(seenCookie)
	if err != nil {
		return 0, false
	}
	number, err = strconv.ParseInt(kept.Value, 10, 64)
	return number, err == nil
}

// KeepSeen notes that the person has seen the changes up to one.
func (c *Call) KeepSeen(number int64) { c.keep(seenCookie, strconv.FormatInt(number, 10)) }

// keep keeps what is no secret in the browser.
func (c *Call) keep(name, value string) {
	http.SetCookie(c.W, &http.Cookie{Name: name, Value: value, Path: "/", MaxAge: 400 * 24 * 60 * 60,
		Secure: c.Site.Edge.Config.TLS, HttpOnly: true, SameSite: http.SameSiteLaxMode})
}

// How the text of an element is written.
type writing int

const (
	prose  writing = iota // a sentence of the program, with words of the book in it
	number                // a figure
	as                    // as it is: a name, a text of the book, what was typed
)

// element is one that is open.
type element struct {
	tag string
	how writing
}

// written puts the numbers and days of a page into the person's style. The rooms write
// plain notation; every figure is marked as one, and every name.
func written(page []byte, s notation.Style) []byte {
	if s == (notation.Style{}) {
		return page
	}
	var out bytes.Buffer
	out.Grow(len(page))
	open := []element{{}}
	z := html.NewTokenizer(bytes.NewReader(page))
	for {
		kind := z.Next()
		if kind == html.ErrorToken {
			return out.Bytes()
		}
		raw := string(z.Raw())
		switch kind {
		case html.TextToken:
			switch open[len(open)-1].how {
			case prose:
				raw = s.Prose(raw)
			case number:
				raw = s.Figures(raw)
			}
		case html.StartTagToken:
			t := z.Token()
			if !slices.Contains(void, t.Data) {
				open = append(open, element{t.Data, howWritten(t, open[len(open)-1].how)})
			}
		case html.EndTagToken:
			name, _ := z.TagName()
			for i := len(open) - 1; i > 0; i-- {
				if open[i].tag == string(name) {
					open = open[:i]
					break
				}
			}
		}
		out.WriteString(raw)
	}
}

// void are the elements of our pages that have no end.
var void = []string{"meta", "link", "input", "br", "hr", "img", "col", "source", "wbr"}

func howWritten(t html.Token, around writing) writing {
	how := around
	switch t.Data {
	case "code", "pre", "textarea", "script", "style":
		how = as
	}
	for _, a := range t.Attr {
		switch {
		case a.Key == "data-key" || a.Key == "data-value" || a.Key == "data-stat":
			return number
		case a.Key == "class" && slices.Contains(strings.Fields(a.Val), "name"):
			how = as
		}
	}
	return how
}
