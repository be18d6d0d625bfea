package shop

import (
	"cmp"
	"errors"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/web/form"
	"kerfbook/web/form/recordform"
	"kerfbook/web/frame"
	"kerfbook/web/notation"
)

// entered is what was entered into a form of records. The first is the one of the address.
type entered struct {
	kind    form.RecordKind
	id      string // empty for a new record
	version string
	asText  bool
	records []enteredText
	style   notation.Style
	pasted  map[string]string // tables that were not taken, by the place of their list
	faults  []recordform.Fault
}

// enteredText is one of the records, as a form or as text.
type enteredText struct {
	kind  string
	text  string
	sheet recordform.Sheet
	whose string // the place in the first record that is to refer to it
}

// mostBeside bounds the records of one form.
const mostBeside = 20

// prefix stands before the names of the fields of a record beside the first.
func prefix(i int) string {
	if i == 0 {
		return ""
	}
	return root(i) + "."
}

// root is the place of a record in the form.
func root(i int) string {
	if i == 0 {
		return ""
	}
	return "beside[" + strconv.Itoa(i-1) + "]"
}

// control is the name of a field about a record, not of it.
func control(i int, what string) string {
	if i == 0 {
		return what
	}
	return "beside." + strconv.Itoa(i-1) + "." + what
}

// tabs are the two ways to edit a record.
const formTab, textTab = "form", "text"

// readEntered reads what was sent.
func readEntered(c *frame.Call) (entered, error) {
	k, err := kindAsked(c)
	f := entered{kind: k, id: chi.URLParam(c.R, "id"), version: c.Form("version"), asText: c.Form("tab") != formTab, style: c.Style, pasted: map[string]string{}}
	f.records = []enteredText{{kind: k.Kind, text: c.Form("text")}}
	for i := 1; i <= mostBeside; i++ {
		if kind := c.Form(control(i, "kind")); kind == "" {
			continue
		} else if _, known := form.KindOf(kind); known {
			f.records = append(f.records, enteredText{kind: kind, text: c.Form(control(i, "text")), whose: c.Form(control(i, "whose"))})
		}
	}
	if f.asText {
		return f, err
	}
	for i := range f.records {
		f.records[i].sheet = f.sheetSent(c, i)
	}
	return f, err
}

// controls are the fields of a form that are not of its first record.
var controls = []string{"version", "text", "tab", "add", "do", "why", "pieces", recordform.OpenName}

// sheetSent reads the fields of one record.
func (f *entered) sheetSent(c *frame.Call, i int) recordform.Sheet {
	s := recordform.Sheet{Typed: recordform.Typed{}, Open: recordform.Typed{}, Book: c.Book}
	for name := range c.R.PostForm {
		place, own := strings.CutPrefix(name, prefix(i))
		list, isTable := strings.CutPrefix(place, "paste.")
		switch {
		case !own || i == 0 && (slices.Contains(controls, name) || strings.HasPrefix(name, "beside")):
		case isTable:
			f.pasted[prefix(i)+list] = c.R.PostForm.Get(name)
		default:
			s.Typed[place] = c.R.PostForm.Get(name)
		}
	}
	for _, open := range c.R.PostForm[recordform.OpenName] {
		if place, own := strings.CutPrefix(open, prefix(i)); own && (i > 0 || !strings.HasPrefix(open, "beside")) {
			s.Open[place] = "{}"
		}
	}
	return s
}

// paste takes a table into the form, or says what is wrong with it.
func (f *entered) paste(list string) {
	i, place := f.recordOf(list)
	k, _ := record.KindOf(f.records[i].kind)
	if wrong := f.records[i].sheet.Paste(k, place, f.pasted[list], f.style); len(wrong) > 0 {
		f.faults = append(f.faults, recordform.Fault{Place: prefix(i) + "paste." + place, Message: strings.Join(wrong, "; ")})
	} else {
		delete(f.pasted, list)
	}
}

// recordOf says which of the records a place of the form lies in, and where in it.
func (f *entered) recordOf(place string) (i int, rest string) {
	for i := len(f.records) - 1; i > 0; i-- {
		if rest, own := strings.CutPrefix(place, prefix(i)); own {
			return i, rest
		}
	}
	return 0, place
}

// tidy completes what was sent as a form, and lets the first record refer to those that
// were begun from its fields.
func (f *entered) tidy() {
	if f.asText {
		return
	}
	for i := range f.records {
		k, _ := record.KindOf(f.records[i].kind)
		f.records[i].sheet.Tidy(k)
	}
	for _, r := range f.records[1:] {
		i, place := f.recordOf(r.whose)
		if id := r.named(); place != "" && id != "" && f.records[i].sheet.Typed[place] == "" {
			f.records[i].sheet.Typed[place] = id
		}
	}
}

// named is the id that the form gives the record.
func (r *enteredText) named() string {
	return cmp.Or(r.sheet.Typed["id"], r.sheet.Typed["number"])
}

// idTyped is the id of a record, of its form or its text, as far as it can be read.
func (r *enteredText) idTyped(f *entered) string {
	if !f.asText {
		return r.named()
	}
	k, _ := record.KindOf(r.kind)
	value, _, _ := k.Read([]byte(r.text))
	ids, _ := k.Identify(value)
	return ids[0]
}

// drafts reads the records of a form. One beside the first that was left as it was opened
// is passed over.
func (f *entered) drafts(c *frame.Call) (out []change.Draft, found frame.Problems) {
	for i := range f.records {
		r := &f.records[i]
		written, id, version, label := r.text, "", "", ""
		if i == 0 {
			id, version = f.id, f.version
		} else if k, _ := form.KindOf(r.kind); f.left(c, r) {
			continue
		} else {
			label = k.One + ": "
		}
		if !f.asText {
			k, _ := record.KindOf(r.kind)
			value, faults := r.sheet.Typed.Read(k, f.style)
			for _, fault := range faults {
				f.faults = append(f.faults, recordform.Fault{Place: strings.TrimSuffix(prefix(i)+fault.Place, "."), Message: fault.Message})
			}
			if len(faults) > 0 {
				continue
			}
			if routing := record.Field(value, "routing"); routing.IsValid() {
				if ops, ok := routing.Interface().([]bom.Operation); ok && !slices.IsSortedFunc(ops, byNumber) {
					slices.SortStableFunc(ops, byNumber) // the order that they are done in
					r.sheet.Typed = recordform.Of(value, f.style)
				}
			}
			written = string(record.JSON(value)) // a value: the text that is kept stays its author's
		}
		d, err := change.ReadRecord(r.kind, id, []byte(written), answer.Version(version))
		if err != nil {
			f.refuse(&found, err, i, label)
			continue
		}
		if !f.asText {
			d = d.At(root(i))
		}
		out = append(out, d)
	}
	return out, found
}

func byNumber(a, b bom.Operation) int { return cmp.Compare(a.Number, b.Number) }

// left says that a record beside the first was left as it was opened.
func (f *entered) left(c *frame.Call, r *enteredText) bool {
	fresh := enteredText{kind: r.kind, sheet: begun(c, r.kind, url.Values{"for": {f.records[0].idTyped(f)}})}
	if f.asText {
		k, _ := record.KindOf(r.kind)
		known := strings.Split(fresh.sheet.Typed.Text(k, f.style)+(recordform.Typed{}).Text(k, f.style), "\n")
		for line := range strings.Lines(r.text) {
			if line = strings.TrimRight(line, "\r\n"); line != "" && !slices.Contains(known, line) {
				return false
			}
		}
		return true
	}
	for at, written := range r.sheet.Typed {
		if written != "" && written != fresh.sheet.Typed[at] {
			return false
		}
	}
	return true
}

// refuse notes what is wrong: beside the fields of a form, or at the text.
func (f *entered) refuse(found *frame.Problems, err error, i int, label string) {
	var known *answer.Error
	if f.asText || !errors.As(err, &known) || len(known.Fields) == 0 {
		name := control(i, "text")
		if !f.asText {
			name = ""
		}
		*found = append(*found, frame.FaultsOf(err, name, label)...)
		return
	}
	for _, field := range known.Fields {
		f.faults = append(f.faults, recordform.Fault{Place: strings.TrimSuffix(field.Path, "."), Message: field.Message})
	}
}
