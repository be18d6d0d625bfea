package whatif

import (
	"cmp"
	"errors"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
	"kerfbook/costing/trade"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// changeBody shows what changes do before they are saved.
type changeBody struct {
	View     []frame.Link
	Changes  []oneChange
	Find     frame.Field
	Begin    []frame.Link // searches of somebody who has no word yet
	Found    []candidate
	More     bool         // than are listed
	Parts    []frame.Link // to choose from, where there is no batch
	Scenario service.Scenario
	Lapsed   []lapsedLine
	Name     frame.Field // to keep them under
	Version  string      // of the book the effect is about
	Conflict bool        // somebody else changed the book in between
	Asked    bool        // values were given and taken
	Rebuilt  bool
	Tables   []effectTable
	Back     string // address that saving leads back to
	TakeOver string // what saving is called
}

// oneChange is a change as the form has it.
type oneChange struct {
	Key, Name, Label, Where string // name of the field of the value; record it is in
	Before                  frame.Fig
	Now                     string // of a field that is no number; empty where it is not there
	Taken                   bool   // the whole of it is taken away
	Field                   frame.Field
	Of                      *frame.Field  // beside it, of what a price rests on
	Value                   string        // as it was typed
	change                  change.Change // in plain notation
	given                   bool
}

// lapsedLine is a change of a scenario that applies no longer.
type lapsedLine struct{ What, Why, Href string }

// effectTable compares figures before and after; landed prices are folded.
type effectTable struct {
	ID, Title    string
	Rows, Landed []effectRow
	Stay         string // how many figures do not move, in words
	Fold         bool   // of a part beside several trims
	Notes        []string
}

// effectRow is one figure before and after, with why it moves.
type effectRow struct {
	Label                     string
	Before, After, Difference frame.Fig
	Why                       string
}

// whatIf shows the effect of changes; nothing is written.
func whatIf(c *frame.Call) error {
	body, p, err := changePage(c)
	if err != nil {
		return err
	}
	if body.Asked = body.Asked && p.Problems.Empty(); body.Asked {
		if err := effect(c, body, &p.Problems); err != nil {
			return err
		}
	}
	return showChange(c, body, p)
}

func showChange(c *frame.Call, body *changeBody, p frame.Page) error {
	for i := range body.Changes {
		one := &body.Changes[i]
		at := &one.Field
		if one.Of != nil && trade.CostBasis(one.Value).Drawn() {
			at = one.Of
		}
		at.Error = p.Problems.Of(one.Name)
	}
	body.Name.Error = p.Problems.Of("name")
	return c.Show("change", p)
}

// saveChange writes changes as the next revisions of their records, in one change of the
// book, or keeps them as a scenario.
func saveChange(c *frame.Call) error {
	body, p, err := changePage(c)
	if err != nil {
		return err
	}
	if !p.Problems.Empty() {
		return showChange(c, body, p)
	}
	if c.Form("do") == "keep" {
		err = keepScenario(c, body)
	} else {
		if name := body.Scenario.Name; name != "" && c.Actor.Reason == "" {
			c.Actor.Reason = "scenario " + name
		}
		_, err = c.Site.Service.ApplyChangeIn(c.R.Context(), c.Actor, c.View.Lines, c.View.Day, body.changes(), answer.Version(c.Form("version")))
	}
	switch code := answer.CodeOf(err); {
	case err == nil && c.Form("do") == "keep":
		return c.LeadTo("/scenarios", "named")
	case err == nil:
		return c.LeadTo(body.Back, "saved")
	case c.Form("do") == "keep" && (code == answer.VersionMissing || code == answer.Exists || code == answer.Conflict):
		p.Problems.Add("name", "Name: there is such a scenario already, or another one by now; choose another name, or open it first")
	case c.Form("do") == "keep" && code == answer.Invalid:
		p.Problems = append(p.Problems, frame.FaultsOf(err, "name", "Name: ")...)
	case code == answer.Conflict, code == answer.VersionMissing:
		body.Conflict = true
		p.Problems.Add(body.Changes[0].Name, "New value: somebody else changed the book in the meantime. Compare with what it says now, and save again if your value is still the right one")
	case code == answer.Invalid:
		body.fault(&p.Problems, err)
	default:
		return err
	}
	body.Asked = true
	if err := effect(c, body, &p.Problems); err != nil {
		return err
	}
	return showChange(c, body, p)
}

// fault gives each fault to the change it is about.
func (b *changeBody) fault(found *frame.Problems, err error) {
	var known *answer.Error
	if !errors.As(err, &known) || len(known.Fields) == 0 {
		found.Add(b.Changes[0].Name, "New value: "+err.Error())
		return
	}
	for _, f := range known.Fields {
		number, _, _ := strings.Cut(strings.TrimPrefix(f.Pointer, "/"), "/")
		at, bad := strconv.Atoi(number)
		if bad != nil || at >= len(b.Changes) {
			at = 0
		}
		found.Add(b.Changes[at].Name, "New value: "+frame.Placed(f))
	}
}

func (b *changeBody) changes() []change.Change {
	var out []change.Change
	for _, one := range b.Changes {
		out = append(out, one.change)
	}
	return out
}

// changePage reads which changes are asked about: those of the address, or of the scenario
// that it names, without one that is dropped and with one that is added.
func changePage(c *frame.Call) (*changeBody, frame.Page, error) {
	if !c.Faults.Empty() {
		return nil, frame.Page{}, &edge.Refusal{Kind: edge.BadRequest, Detail: c.Faults[0].Message}
	}
	body := &changeBody{View: c.ChangeFields(), Version: string(c.Version), Back: "/trims?" + c.View.Query(),
		Find: frame.Field{Name: "find", Label: "Change something else", Hint: "A few words of it, such as a machine, a part, an operation, a material: mill labour, deburr.", Value: c.R.Form.Get("find")},
		Name: frame.Field{Name: "name", Label: "Keep as a scenario named", Value: c.Typed("name", c.R.Form.Get("scenario"))}}
	asked, err := body.asked(c)
	if err != nil {
		return nil, frame.Page{}, err
	}
	if len(asked) == 0 {
		body.Find.Label = "What would you change?"
	}
	p := c.Page("what-if", "What if", body)
	if len(c.View.Lines) == 0 {
		body.View = nil
		for _, part := range c.Book.Parts[:min(len(c.Book.Parts), mostCandidates)] {
			body.Parts = append(body.Parts, frame.Link{Label: part.Name, Href: "/change?mix=part:" + url.QueryEscape(string(part.Number)) + "%3D" + strconv.Itoa(frame.StandardQuantity)})
		}
		return body, p, nil
	}
	sheet, _, err := c.Site.Service.Sheet(c.R.Context(), c.View.Lines, c.View.Day)
	if err != nil {
		return nil, p, err
	}
	for i, a := range asked {
		one := oneChange{Key: a.key, Name: frame.ValueName(i), Value: a.value, given: a.given}
		if err := one.open(c, sheet, &p.Problems); err != nil {
			return nil, p, err
		}
		body.Changes = append(body.Changes, one)
		body.Asked = body.Asked || one.given
	}
	if len(asked) == 0 && body.Find.Value == "" {
		body.Begin = beginnings(c, sheet)
	}
	if body.Find.Value != "" {
		if body.Found, body.More, err = candidates(c, sheet, body.Find.Value); err != nil {
			return nil, p, err
		}
	}
	back := body.Back
	if c.View.Alone() {
		back = frame.PartHref(c.View.Lines[0].Part, c.View)
	}
	body.TakeOver = "Save all " + strconv.Itoa(len(asked)) + " in one change"
	if len(asked) == 1 {
		p.Title, body.TakeOver = "What if: "+body.Changes[0].Label, "Save as the next revision"
		body.Back = frame.Prover(c.View).Href(body.Changes[0].Key)
	}
	if len(asked) > 0 {
		if kind, id, _, ok := fieldKey(asked[0].key); ok && kind == "parts" {
			body.Back = frame.PartHref(bom.ID(id), c.View)
		} else if ok || len(asked) > 1 {
			body.Back = back
		}
		p.Batch = c.BatchLine(c.View.Mixes()...)
	}
	return body, p, nil
}

// askedChange is a change as the address has it.
type askedChange struct {
	key, value string
	given      bool
}

// asked lists the changes of the address or of a scenario.
func (b *changeBody) asked(c *frame.Call) (out []askedChange, err error) {
	q := c.R.Form
	for i, key := range q["key"] {
		name := frame.ValueName(i)
		value := q.Get(name)
		if value == notExceeded && isBasis(key) {
			value = basisAsked(c, strings.Replace(name, "value", "of", 1))
		}
		if q.Get("drop") != strconv.Itoa(i) || !q.Has("drop") {
			out = append(out, askedChange{key, value, q.Has(name)})
		}
	}
	if name := q.Get("scenario"); name != "" {
		if b.Scenario, err = c.Site.Service.Scenario(c.R.Context(), name); err != nil {
			return nil, err
		}
		lookAt(c, b.Scenario)
		b.View = c.ChangeFields()
		o, err := c.Site.Service.Origin(c.R.Context())
		if err != nil {
			return nil, err
		}
		stands, lapsed, err := o.Standing(c.R.Context(), c.View.Lines, c.View.Day, b.Scenario.Changes)
		if err != nil {
			return nil, err
		}
		for _, s := range stands {
			if !q.Has("key") {
				out = append(out, askedChange{s.Key, c.AsTyped(s.Value), true})
			}
		}
		b.Lapsed = lapsedLines(c, lapsed)
	}
	if key := q.Get("take"); key != "" {
		out = append(out, askedChange{key, "", true})
	}
	if key := q.Get("add"); key != "" && !slices.ContainsFunc(out, func(a askedChange) bool { return a.key == key }) {
		out = append(out, askedChange{key: key})
	}
	return out, nil
}

// lapsedLines lists changes that apply no longer, each with the way to try it on what is
// there now.
func lapsedLines(c *frame.Call, lapsed []change.Lapsed) []lapsedLine {
	var out []lapsedLine
	for _, l := range lapsed {
		out = append(out, lapsedLine{l.Change.Label + ", " + l.Change.Of, l.Why, c.ChangeHref(l.Change.Change)})
	}
	return out
}

// open fills the form of a change of an input, or of a field of a record, which need not
// be a number of the batch and may take a word.
func (o *oneChange) open(c *frame.Call, sheet *answer.Sheet, found *frame.Problems) error {
	o.Field = frame.Field{Name: o.Name, Label: "New value"}
	kind, id, path, isField := fieldKey(o.Key)
	unit := ""
	if isField {
		e, ok := record.Find(c.Book, kind, id)
		if !ok {
			return &edge.Refusal{Kind: edge.NotFound, Detail: "the book has no such record"}
		}
		k, _ := form.KindOf(kind)
		o.Now = record.Text(e.Value, path)
		if n, isNumber := record.Number(e.Value, path); isNumber {
			o.Before = form.Reader{Kind: kind, Id: id}.Number(n, path).Number
		}
		o.Label, o.Where = change.FieldLabel(kind, e.Value, path), k.One+" "+id
		o.Taken = path == "" || strings.HasSuffix(path, "]")
		o.Field.Hint = "A number or a name; nothing takes an optional field away."
		if known, ok := field.Under(kind, path); ok {
			unit = known.Unit
		}
	} else {
		if _, ok := sheet.IsInput(o.Key); !ok {
			return &edge.Refusal{Kind: edge.NotFound, Detail: "no number that was entered has this key"}
		}
		step, err := sheet.Explain(o.Key, 0)
		if err != nil {
			return err
		}
		f := sheet.Figure(o.Key)
		o.Label, o.Where, o.Now, o.Before = f.Label, step.Source.Where, f.Value, frame.Prover(c.View).Plain(f)
		o.Field.Suffix, o.Field.Mode, unit = f.Unit, "decimal", f.Unit
	}
	if !o.given {
		o.Value = c.AsTyped(o.Now)
	}
	o.Field.Value, o.Field.Context = o.Value, o.Label+": "
	o.change = change.Change{Key: o.Key, Value: strings.TrimSpace(o.Value)}
	if isBasis(o.Key) {
		basisForm(c, o)
		return nil
	}
	n, err := c.Style.Number(o.Value, unit)
	switch {
	case err == nil:
		o.change.Value = n.Plain
		if o.given {
			o.Field.Understood = n.Said
		}
	case o.given && (!isField || form.TwoMeanings(err)):
		found.Wrong(&o.Field, err.Error())
	}
	return nil
}

// effect evaluates the batches of the view with the changes.
func effect(c *frame.Call, body *changeBody, found *frame.Problems) error {
	ctx := c.R.Context()
	o, err := c.Site.Service.Origin(ctx)
	if err != nil {
		return err
	}
	proposed, err := o.Propose(ctx, c.View.Lines, c.View.Day, body.changes())
	for i, mix := range c.View.Mixes() {
		var result change.WhatIf
		if err == nil {
			result, err = o.WhatIfOf(ctx, mix, c.View.Day, proposed)
		}
		if answer.CodeOf(err) == answer.Invalid {
			body.Asked = false
			body.fault(found, err)
			return nil
		}
		if err != nil {
			return err
		}
		body.Rebuilt, body.Version = body.Rebuilt || result.Rebuilt, string(result.Version)
		before := frame.Prover(frame.View{Lines: c.View.Mixes()[i], Day: c.View.Day})
		after := before.ChangedBy(body.changes()...)
		for _, m := range result.Moves {
			t := moved(m, before, after, len(body.Changes))
			for at, v := range result.Before.Variants {
				if v.Trim == m.Trim && at < len(result.After.Variants) {
					t.Notes = basisNotes(v, result.After.Variants[at])
				}
			}
			if m.Part != "" && len(c.View.Mixes()) > 1 {
				t.Fold = true
				t.ID, t.Title = t.ID+strconv.Itoa(len(body.Tables)), t.Title+" in the batch of "+frame.LineWords(c.Book, mix[0])
			}
			body.Tables = append(body.Tables, t)
		}
	}
	return nil
}

// moved lays out the figures of a trim or part that move.
func moved(m change.Moves, before, after frame.Linker, changes int) effectTable {
	t := effectTable{ID: "effect-" + frame.FieldID(m.Trim), Title: m.Name}
	if m.Part != "" {
		t.ID, t.Title = "effect-part", m.Name+", a piece"
	}
	small := 0
	for _, f := range m.Figures {
		row := effectRow{Label: f.Label, Before: shown(before, f.Before), After: shown(after, f.After), Difference: shown(frame.Linker{Base: "#"}, f.Difference), Why: why(f, changes)}
		row.Difference.Text = frame.Signed(row.Difference)
		if row.Difference.Key != "" {
			row.Difference.Href = after.Href(f.After.Key)
		}
		if unit := cmp.Or(f.After.Unit, f.Before.Unit); unit != "" {
			row.Label += ", " + unit
		}
		switch {
		case row.Before.Text == row.After.Text:
			small++
		case f.Destination != "":
			t.Landed = append(t.Landed, row)
		default:
			t.Rows = append(t.Rows, row)
		}
	}
	t.Stay = strconv.Itoa(len(m.Same)+small) + " figures stay"
	if small > 0 {
		t.Stay += ", or move by less than is shown"
	}
	return t
}

// shown writes a figure as its unit asks. The minutes of a batch are no figure of its
// graph, and lead to no proof.
func shown(l frame.Linker, f answer.Figure) (out frame.Fig) {
	switch {
	case f.Unit == "":
		return l.Percent(f)
	case f.Unit != "min" && f.Unit != "min/piece":
		return l.Money(f)
	}
	if out = l.Places(f, 2); strings.TrimPrefix(f.Key, "difference/") == answer.MinutesKey {
		out.Key = ""
	}
	return out
}

// why says in a line what moves a figure.
func why(m change.Move, changes int) string {
	if len(m.Because) == 0 && changes > 1 {
		return "no change by itself"
	}
	var out []string
	for i, b := range m.Because {
		if i == 2 {
			out = append(out, "and "+strconv.Itoa(len(m.Because)-i)+" more")
			break
		}
		words := b.Label
		if b.Of != "" && !strings.Contains(words, b.Of) {
			words += ", " + b.Of
		}
		if b.Difference.Key != "" {
			words += " " + frame.Signed(shown(frame.Linker{}, b.Difference))
		}
		out = append(out, words)
	}
	return strings.Join(out, "; ")
}

// fieldKey takes the key of a field of a record apart; of a whole record there is no path.
func fieldKey(key string) (kind, id, path string, ok bool) {
	rest, ok := strings.CutPrefix(key, "book/")
	kind, rest, more := strings.Cut(rest, "/")
	id, path, _ = strings.Cut(rest, "/")
	return kind, id, path, ok && more
}
