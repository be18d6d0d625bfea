package shop

import (
	"cmp"
	"net/url"
	"reflect"
	"slices"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
	"kerfbook/web/form"
	"kerfbook/web/form/recordform"
	"kerfbook/web/frame"
)

// editBody edits a record, as a form or as text, with others that are saved in the same
// change.
type editBody struct {
	Kind    form.RecordKind
	ID      string // empty for a new record
	Href    string
	Pieces  string // that the page before was asked of
	Tab     string // form or text
	Version string
	Records []editedRecord
	Add     []form.RecordKind // that can be entered beside it
	Faults  []string
	Stored  string   // what is stored now, where somebody else changed it
	Still   []string // what refers to it, where it is to be removed
	Looked  bool     // what saving would do was asked
	Lacking []string // after saving
	Effect  *effect
	Hours   []*frame.WageHour // of wages among the records
}

// editedRecord is one record of the form.
type editedRecord struct {
	Kind     form.RecordKind
	KindName string // of the hidden field with the kind; empty for the first
	For      frame.Field
	Title    string
	Text     frame.Field
	Form     recordform.Form
}

// besides lists the kinds of record that often come with one of another kind.
var besides = map[string][]string{
	"parts":             {"offers", "stocks", "suppliers", "work_centres"},
	"stocks":            {"offers", "materials", "suppliers"},
	"offers":            {"parts", "stocks", "suppliers", "metal_prices"},
	"outside_processes": {"suppliers"},
	"products":          {"parts", "prices", "channels"},
	"prices":            {"channels", "products"},
	"destinations":      {"carriers", "channels"},
	"shop":              {"rate_cards"},
}

// editRecord opens a record.
func editRecord(c *frame.Call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	stored, err := c.Site.Service.Record(c.R.Context(), k.Kind, chi.URLParam(c.R, "id"), 0)
	if err != nil {
		return err
	}
	f := opened(c, k, stored)
	value, err := f.value()
	if err != nil {
		f.asText = true
		return showEdit(c, f, frame.FaultsOf(change.Malformed("the record", err), "text", ""), editBody{})
	}
	if what, because, said := strings.Cut(c.R.Form.Get("say"), ":"); said {
		answered(value, bom.CountAnswer{What: bom.Matter(what), Answer: bom.CountingAnswer(because)})
	}
	if all, err := rates.Starters(); err == nil && k.Kind == "work_centres" {
		if s, ok := rates.StarterOf(all, bom.ID(c.R.Form.Get("take"))); ok && s.Setup != nil {
			record.Field(value, "setup").Set(reflect.ValueOf(s.Setup))
			record.Field(value, "programming").Set(reflect.ValueOf(s.Programming))
		}
	}
	f.begin(value)
	for _, place := range c.R.Form[recordform.OpenName] {
		f.records[0].sheet.Open[place] = "{}"
	}
	return showEdit(c, f, nil, editBody{})
}

// opened is the form of a record as it is stored.
func opened(c *frame.Call, k form.RecordKind, r service.Record) entered {
	return entered{kind: k, id: r.ID, version: string(r.Version), style: c.Style, asText: c.R.Form.Get("tab") == textTab, records: []enteredText{{kind: k.Kind, text: string(r.Text)}}}
}

// textOf is the same as text, for what stands against it.
func textOf(c *frame.Call, k form.RecordKind, r service.Record) entered {
	f := opened(c, k, r)
	f.asText = true
	return f
}

// value reads the text of the first record.
func (f *entered) value() (reflect.Value, error) {
	k, _ := record.KindOf(f.kind.Kind) // the address names one
	value, _, err := k.Read([]byte(f.records[0].text))
	return value, err
}

// begin fills the form with a record, for whichever tab is asked.
func (f *entered) begin(value reflect.Value) {
	k, _ := record.KindOf(f.kind.Kind)
	f.records[0].sheet = recordform.Sheet{Typed: recordform.Of(value, f.style), Open: recordform.Typed{}}
	if written, err := k.Revise([]byte(f.records[0].text), value); err == nil && f.records[0].text != "" {
		f.records[0].text = string(written)
	} else {
		f.records[0].text = f.records[0].sheet.Typed.Text(k, f.style)
	}
}

// answered gives a record one more answer to what is not counted, where it takes one.
func answered(value reflect.Value, say bom.CountAnswer) {
	answers := record.Field(value, "not_counted")
	if answers.IsValid() && slices.Contains(say.What.Values(), string(say.What)) && slices.Contains(say.Answer.Values(), string(say.Answer)) {
		answers.Set(reflect.Append(answers, reflect.ValueOf(say)))
	}
}

// newRecord opens the form of a record that is to be: empty, a copy of another, or of a size
// that ships with the program.
func newRecord(c *frame.Call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	kind, _ := record.KindOf(k.Kind)
	ask := c.R.Form
	f := entered{kind: k, asText: ask.Get("tab") == textTab, style: c.Style, records: []enteredText{{kind: k.Kind}}}
	value := reflect.New(kind.Type).Elem()
	if from, ok := record.Find(c.Book, k.Kind, ask.Get("copy")); ok {
		value.Set(from.Value)
		for _, name := range []string{"id", "number"} {
			if id := record.Field(value, name); id.IsValid() {
				id.SetZero()
			}
		}
	}
	if all, err := rates.Starters(); err == nil && k.Kind == "stocks" {
		if s, ok := rates.StarterOf(all, bom.ID(ask.Get("take"))); ok {
			if at := slices.IndexFunc(s.Stocks, func(st bom.Stock) bool { return st.ID == bom.ID(ask.Get("size")) }); at >= 0 {
				stock := s.Stocks[at]
				stock.Material = s.MaterialOf(c.Book.Materials) // of which the shop has one
				value.Set(reflect.ValueOf(stock))
			}
		}
	}
	if k.Kind == "wages" && value.IsZero() {
		begin, err := rates.BeginWage(c.Book.Country, ask.Get("take") == "own-hour")
		if err != nil {
			return err
		}
		value.Set(reflect.ValueOf(begin))
	}
	first := &f.records[0]
	if value.IsZero() {
		first.sheet = begun(c, k.Kind, ask)
		first.text = first.sheet.Typed.Text(kind, f.style)
		return showEdit(c, f, nil, editBody{})
	}
	f.begin(value)
	return showEdit(c, f, nil, editBody{})
}

// begun is the form of a new record, with what is known of it: what it is for, the
// currency of the shop, the day.
func begun(c *frame.Call, kind string, ask url.Values) recordform.Sheet {
	k, _ := record.KindOf(kind) // the callers name kinds of the book
	s := recordform.Sheet{Typed: recordform.Typed{}, Open: recordform.Typed{}}
	known := map[string]string{"for": ask.Get("for"), "product": ask.Get("for"), "kind": ask.Get("kind"), "figure": ask.Get("figure"), "unit": ask.Get("unit"),
		"currency": string(c.Book.Currency), "country": cmp.Or(ask.Get("country"), string(c.Book.Country)), "from": string(c.Site.Service.Today())}
	if _, err := bom.ParseID(ask.Get("for")); err != nil {
		known["for"], known["product"] = "", ""
	}
	if !bom.Country(known["country"]).Known() {
		known["country"] = string(c.Book.Country)
	}
	members, _ := text.Members(k.Type)
	for _, m := range members {
		if written := known[m.Name]; written != "" && (m.Required || m.Name == "unit") {
			s.Typed[m.Name] = written
		}
	}
	if kind == "offers" {
		s.Typed["breaks[0].from"] = "1"
	}
	return s
}

func showEdit(c *frame.Call, f entered, found frame.Problems, body editBody) error {
	k, id := f.kind, f.id
	body.Kind, body.ID, body.Version, body.Tab, body.Href, body.Pieces = k, id, f.version, formTab, frame.RecordHref(k.Kind, id), c.R.Form.Get("pieces")
	title := "Edit " + k.One
	switch id {
	case "":
		title, body.Href = "New "+k.One, "/book/"+k.Kind
	case k.One: // there is one of its kind
	default:
		title += " " + id
	}
	if f.asText {
		body.Tab = textTab
	}
	for i := range f.records {
		shown, wrong := f.shown(c, i, body.Href, found)
		body.Records = append(body.Records, shown)
		found = append(found, wrong...)
	}
	for _, kind := range besides[k.Kind] {
		if other, _ := form.KindOf(kind); len(f.records) <= mostBeside {
			body.Add = append(body.Add, other)
		}
	}
	if f.asText {
		for _, p := range found {
			body.Faults = append(body.Faults, p.Message)
		}
	}
	p := c.Page("book", title, &body)
	p.Problems = found
	return c.Show("edit", p)
}

// shown is one record of the form as it stands on the page.
func (f *entered) shown(c *frame.Call, i int, action string, found frame.Problems) (editedRecord, frame.Problems) {
	r := &f.records[i]
	k, _ := form.KindOf(r.kind)
	out := editedRecord{Kind: k, Title: "The record as text"}
	if i > 0 {
		out.KindName, out.Title = control(i, "kind"), "Another record, saved with it: "+k.One
		out.For = frame.Field{Name: control(i, "whose"), Value: r.whose}
	}
	if f.asText {
		out.Text = recordField(control(i, "text"), out.Title, r.text, found)
		if i == 0 {
			out.Text.Hint = "One field a line; what is inside a record is set in by two blanks. A number may be a range: {low: 4, likely: 5, high: 7}."
		}
		return out, nil
	}
	kind, _ := record.KindOf(r.kind)
	shown := recordform.Shown{Kind: kind, Prefix: prefix(i), Action: action, Currency: string(c.Book.Currency), As: f.style, Fixed: i == 0 && f.id != "", Picks: f.picks(c), Pasted: map[string]string{}}
	for at, table := range f.pasted {
		if list, own := strings.CutPrefix(at, prefix(i)); own {
			shown.Pasted[list] = table
		}
	}
	for _, fault := range f.faults {
		if of, at := f.recordOf(fault.Place + "."); of == i {
			shown.Faults = append(shown.Faults, recordform.Fault{Place: strings.TrimSuffix(at, "."), Message: fault.Message})
		}
	}
	out.Form = r.sheet.Layout(shown)
	return out, out.Form.Problems
}

// picks offers the records of the book and of the form.
func (f *entered) picks(c *frame.Call) recordform.Picks {
	return func(refers []string) []frame.Option {
		var out []frame.Option
		put := func(id, name string) {
			if id != "" && !slices.ContainsFunc(out, func(o frame.Option) bool { return o.Value == id }) {
				out = append(out, frame.Option{Value: id, Label: cmp.Or(name, id)})
			}
		}
		for _, of := range refers {
			kind, list, inside := strings.Cut(of, ".")
			for _, r := range f.records {
				if r.kind == kind && !inside {
					put(r.named(), r.sheet.Typed["name"])
				}
			}
			for _, r := range form.RecordsOf(c.Book, kind) {
				if !inside {
					put(r.ID, form.NameOf(r))
					continue
				}
				typed := recordform.Of(r.Value, f.style)
				for i := range typed.Count(list) {
					at := text.Index(list, i)
					put(cmp.Or(typed[at+".id"], typed[at+".number"]), typed[at+".name"])
				}
			}
		}
		return out
	}
}

// recordField is the field for the text of a record.
func recordField(name, label, written string, found frame.Problems) frame.Field {
	f := frame.Field{Name: name, Label: label, Value: written, Rows: min(40, max(12, strings.Count(written, "\n")+3)), Wide: true}
	if found.Of(name) != "" {
		f.Error = "see what is listed beside the text"
	}
	return f
}

// putRecord does what the button of a form asks: saves the records in one change, says
// what that would do, or shows the form again with what was typed.
func putRecord(c *frame.Call) error {
	f, err := readEntered(c)
	if err != nil {
		return err
	}
	f.tidy()
	do := c.Form("do")
	if add, known := form.KindOf(c.Form("add")); known && len(f.records) <= mostBeside {
		return f.addBeside(c, add.Kind, "")
	}
	switch verb, what, _ := strings.Cut(do, " "); verb {
	case "", "save", "look":
		return saveRecords(c, f, verb == "look")
	case formTab, textTab:
		return f.turn(c, verb)
	case "new":
		kind, place, _ := strings.Cut(what, " ")
		if add, known := form.KindOf(kind); known && len(f.records) <= mostBeside {
			return f.addBeside(c, add.Kind, place)
		}
	case "paste":
		f.paste(what)
	default:
		i, place := f.recordOf(what)
		f.records[i].sheet.Do(verb + " " + place)
	}
	return showEdit(c, f, nil, editBody{})
}

// addBeside opens a new record beside the others; whose is the field that it is for.
func (f *entered) addBeside(c *frame.Call, kind, whose string) error {
	r := enteredText{kind: kind, whose: whose, sheet: begun(c, kind, url.Values{"for": {f.records[0].idTyped(f)}})}
	k, _ := record.KindOf(kind)
	r.text = r.sheet.Typed.Text(k, f.style)
	f.records = append(f.records, r)
	return showEdit(c, *f, nil, editBody{})
}

// textTyped is what was typed as a text: that which is kept, where there is one, with what
// has changed.
func (f *entered) textTyped(c *frame.Call, i int) string {
	r := &f.records[i]
	k, _ := record.KindOf(r.kind)
	if value, faults := r.sheet.Typed.Read(k, f.style); i == 0 && f.id != "" && len(faults) == 0 {
		kept, err := c.Site.Service.Record(c.R.Context(), r.kind, f.id, 0)
		if err == nil {
			if written, err := k.Revise(kept.Text, value); err == nil {
				return string(written)
			}
		}
	}
	return r.sheet.Typed.Text(k, f.style)
}

// turn shows the other tab with what was typed. A text that cannot be read has no form.
func (f *entered) turn(c *frame.Call, tab string) error {
	var found frame.Problems
	for i := range f.records {
		r := &f.records[i]
		k, _ := record.KindOf(r.kind)
		if tab == textTab {
			if !f.asText {
				r.text = f.textTyped(c, i)
			}
			continue
		}
		if f.left(c, r) {
			r.sheet = begun(c, r.kind, url.Values{"for": {f.records[0].idTyped(f)}})
			continue
		}
		value, _, err := k.Read([]byte(r.text))
		if err != nil {
			found = append(found, frame.FaultsOf(change.Malformed("the record", err), control(i, "text"), "")...)
			continue
		}
		r.sheet = recordform.Sheet{Typed: recordform.Of(value, f.style), Open: recordform.Typed{}}
	}
	f.asText = tab == textTab || len(found) > 0
	return showEdit(c, *f, found, editBody{})
}

// saved is what to say of a record that was saved over the one of the call's book.
func saved(c *frame.Call, d change.Draft) string {
	now, isPart := d.Value.Interface().(bom.Part)
	if !isPart || now.FirstGuess != nil {
		return "saved"
	}
	if was, _ := c.Book.Part(now.Number); was == nil || was.FirstGuess == nil {
		return "saved"
	}
	return "unguessed"
}

// saveRecords saves the records of a form in one change, or says what that would do.
func saveRecords(c *frame.Call, f entered, look bool) error {
	drafts, found := f.drafts(c)
	if len(found) > 0 || len(f.faults) > 0 {
		return showEdit(c, f, found, editBody{})
	}
	if look {
		body, err := lookAhead(c, drafts)
		if err == nil {
			return showEdit(c, f, nil, body)
		}
		return editAgain(c, f, drafts, err)
	}
	done, err := c.Site.Service.Save(c.R.Context(), c.Actor, drafts)
	if err == nil {
		what := "new"
		if f.id != "" {
			what = saved(c, drafts[0])
		}
		to := frame.RecordHref(f.kind.Kind, done.Records[0].ID)
		if pieces := c.Form("pieces"); pieces != "" { // so many of the part are looked at
			to += "?" + url.Values{"pieces": {pieces}}.Encode()
		}
		return c.LeadTo(to, what)
	}
	return editAgain(c, f, drafts, err)
}

// editAgain shows why a form was not saved, and loses nothing of it.
func editAgain(c *frame.Call, f entered, drafts []change.Draft, err error) error {
	var found frame.Problems
	name := "text"
	if !f.asText {
		name = ""
	}
	switch code := answer.CodeOf(err); {
	case code == answer.Conflict && f.id != "" && len(drafts) == 1, code == answer.VersionMissing && f.id != "" && len(drafts) == 1:
		now, readErr := c.Site.Service.Record(c.R.Context(), f.kind.Kind, f.id, 0)
		if readErr != nil {
			return readErr
		}
		found.Add(name, "somebody else saved this "+f.kind.One+" in the meantime; their text stands beside yours. Take over what you want to keep, then save again")
		f.version = string(now.Version)
		return showEdit(c, f, found, editBody{Stored: string(now.Text)})
	case (code == answer.Conflict || code == answer.VersionMissing) && len(drafts) == 1:
		found.Add(name, "there is "+f.kind.One+" "+drafts[0].ID+" in the book already; edit that one, or choose another name")
	case code == answer.Conflict, code == answer.VersionMissing, code == answer.Invalid, code == answer.NotFound:
		f.refuse(&found, err, 0, "")
	default:
		return err
	}
	return showEdit(c, f, found, editBody{})
}
