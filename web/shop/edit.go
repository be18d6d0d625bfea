package shop

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/bom"
	"kerfbook/costing/book/record"
	"kerfbook/costing/rates"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// editBody edits a record as text, with others that are saved in the same change.
type editBody struct {
	Kind    form.RecordKind
	ID      string // empty for a new record
	Href    string
	Text    frame.Field
	Version string
	Beside  []besideForm
	Add     []form.RecordKind // that can be entered beside it
	Faults  []string
	Stored  string   // what is stored now, where somebody else changed it
	Still   []string // what refers to it, where it is to be removed
}

// besideForm is another record of the form.
type besideForm struct {
	Kind form.RecordKind
	Name string // of the hidden field with the kind
	Text frame.Field
}

// form is what was entered into a form of records.
type recordForm struct {
	kind          form.RecordKind
	id            string // empty for a new record
	text, version string
	beside        []besideText
}

// besideText is the text of a new record beside the first.
type besideText struct{ kind, text string }

// mostBeside bounds the records of one form.
const mostBeside = 20

// readRecordForm reads what was sent.
func readRecordForm(c *frame.Call) (recordForm, error) {
	k, err := kindAsked(c)
	f := recordForm{kind: k, id: chi.URLParam(c.R, "id"), text: c.Form("text"), version: c.Form("version")}
	for i := range mostBeside {
		kind := c.Form(besideName(i, "kind"))
		if _, known := form.KindOf(kind); known {
			f.beside = append(f.beside, besideText{kind, c.Form(besideName(i, "text"))})
		}
	}
	return f, err
}

func besideName(i int, what string) string { return "beside." + strconv.Itoa(i) + "." + what }

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

// editRecord opens a record as text.
func editRecord(c *frame.Call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	record, err := c.Site.Service.Record(c.R.Context(), k.Kind, chi.URLParam(c.R, "id"), 0)
	if err != nil {
		return err
	}
	f := stored(k, record)
	if what, because, said := strings.Cut(c.R.Form.Get("say"), ":"); said {
		f.text = answered(k.Kind, f.text, bom.CountAnswer{What: bom.Matter(what), Answer: bom.CountingAnswer(because)})
	}
	if all, err := rates.Starters(); err == nil && k.Kind == "work_centres" {
		if s, ok := rates.StarterOf(all, bom.ID(c.R.Form.Get("take"))); ok {
			f.text = setUp(f.text, s)
		}
	}
	return showEdit(c, f, nil, "")
}

// setUp is the text of a work centre with the set-up and programming of a starter, to be
// looked at before it is saved.
func setUp(written string, s rates.Starter) string {
	k, _ := record.KindOf("work_centres")
	value, _, err := k.Read([]byte(written))
	w, ok := value.Interface().(rates.WorkCentre)
	if err != nil || !ok || s.Setup == nil {
		return written
	}
	w.Setup, w.Programming = s.Setup, s.Programming
	again, err := k.Revise([]byte(written), reflect.ValueOf(w))
	if err != nil {
		return written
	}
	return string(again)
}

// answered is the text of a record with one more answer to what is not counted, or
// as it was where it takes none.
func answered(kind, written string, say bom.CountAnswer) string {
	k, _ := record.KindOf(kind) // the callers name kinds of the book
	value, _, err := k.Read([]byte(written))
	if err != nil {
		return written
	}
	field := record.Field(value, "not_counted")
	if !field.IsValid() || !slices.Contains(say.What.Values(), string(say.What)) || !slices.Contains(say.Answer.Values(), string(say.Answer)) {
		return written
	}
	field.Set(reflect.Append(field, reflect.ValueOf(say)))
	again, err := k.Revise([]byte(written), value)
	if err != nil {
		return written
	}
	return string(again)
}

// stored is the form of a record as it is.
func stored(k form.RecordKind, r service.Record) recordForm {
	return recordForm{kind: k, id: r.ID, text: string(r.Text), version: string(r.Version)}
}

// newRecord opens the text of a record that is to be.
func newRecord(c *frame.Call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	f := recordForm{kind: k, text: begun(k.Kind, c.R.Form.Get("for"))}
	if all, err := rates.Starters(); err == nil && k.Kind == "stocks" {
		if s, ok := rates.StarterOf(all, bom.ID(c.R.Form.Get("take"))); ok {
			f.text = sized(c, f.text, s)
		}
	}
	if key := c.R.Form.Get("figure"); k.Kind == "overrides" && key != "" {
		f.text = overrideOf(key, c.R.Form.Get("unit"), c.Site.Service.Today())
	}
	return showEdit(c, f, nil, "")
}

// sized is the text of a new stock of a size that ships with the program. Which material
// it is the shop says, where it has several of the kind or none.
func sized(c *frame.Call, written string, s rates.Starter) string {
	k, _ := record.KindOf("stocks")
	at := slices.IndexFunc(s.Stocks, func(st bom.Stock) bool { return string(st.ID) == c.R.Form.Get("size") })
	if at < 0 {
		return written
	}
	stock := s.Stocks[at]
	stock.Material = s.MaterialOf(c.Book.Materials)
	again, err := k.Write(reflect.ValueOf(stock))
	if err != nil {
		return written
	}
	return string(again)
}

// begun is the text of a new record with the fields it needs. What it is for is
// filled in: the id of a part or stock of an offer, of a product of a price.
func begun(kind, id string) string {
	k, _ := record.KindOf(kind) // the callers name kinds of the book
	written := k.Skeleton()
	if _, err := bom.ParseID(id); err == nil {
		written = strings.Replace(written, "for: \n", "for: "+id+"\n", 1)
		written = strings.Replace(written, "product: \n", "product: "+id+"\n", 1)
	}
	return written
}

func showEdit(c *frame.Call, f recordForm, found frame.Problems, now string) error {
	k, id := f.kind, f.id
	body := editBody{Kind: k, ID: id, Version: f.version, Stored: now, Href: frame.RecordHref(k.Kind, id), Text: recordField("text", "The record as text", f.text, found)}
	body.Text.Hint = "One field a line; what is inside a record is set in by two blanks. A number may be a range: {low: 4, likely: 5, high: 7}."
	title := "Edit " + k.One + " " + id
	if id == "" {
		title, body.Href = "New "+k.One, "/book/"+k.Kind
	}
	for i, b := range f.beside {
		other, _ := form.KindOf(b.kind)
		name := besideName(i, "text")
		body.Beside = append(body.Beside, besideForm{other, besideName(i, "kind"),
			recordField(name, "Another record, saved with it: "+other.One, b.text, found)})
	}
	for _, kind := range besides[k.Kind] {
		if other, _ := form.KindOf(kind); len(f.beside) < mostBeside {
			body.Add = append(body.Add, other)
		}
	}
	for _, p := range found {
		body.Faults = append(body.Faults, p.Message)
	}
	p := c.Page("book", title, &body)
	p.Problems = found
	return c.Show("edit", p)
}

// recordField is the field for the text of a record.
func recordField(name, label, written string, found frame.Problems) frame.Field {
	f := frame.Field{Name: name, Label: label, Value: written, Rows: min(40, max(12, strings.Count(written, "\n")+3)), Wide: true}
	if found.Of(name) != "" {
		f.Error = "see what is listed beside the text"
	}
	return f
}

// putRecord saves the text of a record and of those beside it in one change, or
// opens the form with one more.
func putRecord(c *frame.Call) error {
	f, err := readRecordForm(c)
	if err != nil {
		return err
	}
	if add, known := form.KindOf(c.Form("add")); known && len(f.beside) < mostBeside {
		f.beside = append(f.beside, besideText{add.Kind, begun(add.Kind, f.named())})
		return showEdit(c, f, nil, "")
	}
	drafts, found := f.drafts()
	if len(found) > 0 {
		return showEdit(c, f, found, "")
	}
	done, err := c.Site.Service.Save(c.R.Context(), c.Actor, drafts)
	if err == nil {
		return c.LeadTo(frame.RecordHref(f.kind.Kind, done.Records[0].ID), saved(c, drafts[0]))
	}
	return editAgain(c, f, drafts, err)
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

// named is the id that the text of the form gives the record, as far as it can be
// read.
func (f recordForm) named() string {
	k, _ := record.KindOf(f.kind.Kind) // the address names one
	value, _, _ := k.Read([]byte(f.text))
	ids, _ := k.Identify(value)
	return ids[0]
}

// drafts reads the texts of a form. One beside the first that was left as it was
// opened is passed over.
func (f recordForm) drafts() ([]change.Draft, frame.Problems) {
	var found frame.Problems
	var out []change.Draft
	read := func(name, label, kind, id, written, version string) {
		d, err := change.ReadRecord(kind, id, []byte(written), answer.Version(version))
		if err != nil {
			found = append(found, frame.FaultsOf(err, name, label)...)
			return
		}
		out = append(out, d)
	}
	read("text", "", f.kind.Kind, f.id, f.text, f.version)
	for i, b := range f.beside {
		blank := strings.ReplaceAll(strings.TrimSpace(b.text), "\r\n", "\n")
		if blank == "" || blank == strings.TrimSpace(begun(b.kind, f.named())) {
			continue
		}
		k, _ := form.KindOf(b.kind)
		read(besideName(i, "text"), k.One+": ", b.kind, "", b.text, "")
	}
	return out, found
}

// editAgain shows why a form was not saved, and loses nothing of it.
func editAgain(c *frame.Call, f recordForm, drafts []change.Draft, err error) error {
	var found frame.Problems
	switch code := answer.CodeOf(err); {
	case code == answer.Conflict && f.id != "" && len(drafts) == 1, code == answer.VersionMissing && f.id != "" && len(drafts) == 1:
		now, readErr := c.Site.Service.Record(c.R.Context(), f.kind.Kind, f.id, 0)
		if readErr != nil {
			return readErr
		}
		found.Add("text", "somebody else saved this "+f.kind.One+" in the meantime; their text stands below yours. Take over what you want to keep, then save again")
		f.version = string(now.Version)
		return showEdit(c, f, found, string(now.Text))
	case code == answer.Conflict || code == answer.VersionMissing:
		if len(drafts) == 1 {
			found.Add("text", "the book has a "+f.kind.One+" "+drafts[0].ID+" already; edit that one, or choose another name")
			break
		}
		found = frame.FaultsOf(err, "text", "")
	case code == answer.Invalid || code == answer.NotFound:
		found = frame.FaultsOf(err, "text", "")
	default:
		return err
	}
	return showEdit(c, f, found, "")
}

// overrideOf is the text of an override of a figure, to be filled in. What came in
// an address is written as a text of YAML, whatever it is.
func overrideOf(key, unit string, day bom.Date) string {
	written := "id: \nfigure: " + strconv.Quote(key) + "\nvalue: \n"
	if unit != "" {
		written += "unit: " + strconv.Quote(unit) + "\n"
	}
	return written + "reason: \nfrom: " + string(day) + "\n"
}

// removeRecord makes a revision that says that a record is no more. What still
// refers to it is shown first.
func removeRecord(c *frame.Call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	id := chi.URLParam(c.R, "id")
	removal, err := change.ReadRemoval(k.Kind, id, answer.Version(c.Form("version")))
	if err != nil {
		return err
	}
	drafts := []change.Draft{removal}
	still, err := c.Site.Service.Preview(c.R.Context(), drafts)
	if err == nil && (len(still) == 0 || c.Form("sure") == "yes") {
		if _, err = c.Site.Service.Save(c.R.Context(), c.Actor, drafts); err == nil {
			return c.LeadTo(frame.RecordHref(k.Kind, id)+"/revisions", "removed")
		}
	}
	if err != nil && answer.CodeOf(err) != answer.Invalid && answer.CodeOf(err) != answer.Conflict {
		return err
	}
	now, readErr := c.Site.Service.Record(c.R.Context(), k.Kind, id, 0)
	if readErr != nil {
		return readErr
	}
	if err != nil {
		return showEdit(c, stored(k, now), frame.FaultsOf(err, "text", "cannot be removed: "), "")
	}
	body := editBody{Kind: k, ID: id, Href: frame.RecordHref(k.Kind, id), Version: string(now.Version)}
	for _, f := range still {
		body.Still = append(body.Still, f.Message)
	}
	body.Still = slices.Compact(body.Still) // one record may refer to it several times
	return c.Show("remove", c.Page("book", "Remove "+k.One+" "+id, &body))
}

// revisionsBody lists the revisions of a record.
type revisionsBody struct {
	Kind    form.RecordKind
	ID      string
	Href    string
	Version string
	Rows    []revisionRow
	Shown   string // text of the revision that is opened
	ShownNo string
}

// revisionRow is one revision.
type revisionRow struct {
	Revision, At, By, Href string
	Current, Deleted       bool
}

// revisions lists the revisions of a record, which can be opened and restored.
func revisions(c *frame.Call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	id := chi.URLParam(c.R, "id")
	heads, err := c.Site.Service.Revisions(c.R.Context(), k.Kind, id)
	if err != nil {
		return err
	}
	body := revisionsBody{Kind: k, ID: id, Href: frame.RecordHref(k.Kind, id)}
	for i, h := range heads {
		if i == 0 {
			body.Version = string(h.Version)
		}
		body.Rows = append(body.Rows, revisionRow{frame.Digits(h.Revision), frame.Moment(h.ChangedAt), h.ChangedBy,
			body.Href + "/revisions?show=" + frame.Digits(h.Revision), i == 0, h.Deleted})
	}
	if n, err := strconv.Atoi(c.R.Form.Get("show")); err == nil && n > 0 {
		record, err := c.Site.Service.Record(c.R.Context(), k.Kind, id, n)
		if err != nil {
			return err
		}
		body.Shown, body.ShownNo = string(record.Text), frame.Digits(n)
	}
	return c.Show("revisions", c.Page("book", "Revisions of "+k.One+" "+id, &body))
}

// restore makes an old revision the next one.
func restore(c *frame.Call) error {
	k, err := kindAsked(c)
	if err != nil {
		return err
	}
	id := chi.URLParam(c.R, "id")
	n, err := strconv.Atoi(c.Form("revision"))
	if err != nil || n < 1 {
		return &edge.Refusal{Kind: edge.BadRequest, Detail: "say which revision is to be restored"}
	}
	old, err := c.Site.Service.Record(c.R.Context(), k.Kind, id, n)
	if err != nil {
		return err
	}
	version := answer.Version(c.Form("version"))
	if old.Deleted {
		_, err = c.Site.Service.DeleteRecord(c.R.Context(), c.Actor, k.Kind, id, version)
	} else {
		_, err = c.Site.Service.PutRecord(c.R.Context(), c.Actor, k.Kind, id, old.Text, version)
	}
	if answer.CodeOf(err) == answer.Invalid {
		f := stored(k, old)
		f.version = string(version)
		return showEdit(c, f, frame.FaultsOf(err, "text", ""), "")
	}
	if err != nil {
		return err
	}
	return c.LeadTo(frame.RecordHref(k.Kind, id), "restored")
}
