package shop

import (
	"slices"
	"strconv"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/costing/text"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

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
		return showEdit(c, textOf(c, k, now), frame.FaultsOf(err, "text", "cannot be removed: "), editBody{})
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
	Restore bool        // it is not the current one
	Against frame.Field // the revision it is compared with
	Fields  []text.FieldDifference
	Told    bool // Fields are those that differ
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
		body.Shown, body.ShownNo, body.Restore = string(record.Text), frame.Digits(n), n != heads[0].Revision
		if err := body.compare(c, heads, n); err != nil {
			return err
		}
	}
	return c.Show("revisions", c.Page("book", "Revisions of "+k.One+" "+id, &body))
}

// compare holds the opened revision against another: the one asked for, else the current
// one, else the one before.
func (b *revisionsBody) compare(c *frame.Call, heads []service.RecordHead, shown int) error {
	b.Against = frame.Field{Name: "against", Label: "Compared with revision"}
	var others []frame.Option
	for _, h := range heads {
		if h.Revision != shown {
			others = append(others, frame.Option{Value: frame.Digits(h.Revision), Label: frame.Digits(h.Revision)})
		}
	}
	if len(others) == 0 {
		return nil
	}
	if b.Against.Value = c.R.Form.Get("against"); !b.Against.Offer(others, b.Against.Value) {
		b.Against.Value = others[0].Value
	}
	other, err := strconv.Atoi(b.Against.Value)
	if err == nil {
		b.Fields, b.Told, err = c.Site.Service.Fields(c.R.Context(), b.Kind.Kind, b.ID, shown, other)
		b.Fields = spoken(b.Kind.Kind, b.Fields)
	}
	return err
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
		f := textOf(c, k, old)
		f.version = string(version)
		return showEdit(c, f, frame.FaultsOf(err, "text", ""), editBody{})
	}
	if err != nil {
		return err
	}
	return c.LeadTo(frame.RecordHref(k.Kind, id), "restored")
}
