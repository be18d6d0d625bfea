package cost

import (
	"net/url"
	"reflect"
	"strconv"
	"strings"

	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// callOutBlock is what each demand of a drawing costs.
type callOutBlock struct {
	Rows []callOutRow
	More int
}

// callOutRow is one demand with what it is compared with.
type callOutRow struct {
	What, Against         string
	Relaxed, Drawn, Costs frame.Fig
	Fault, TryHref        string
}

// callOuts compares the demands of a part in the batch of the view; nil where
// there are none.
func callOuts(c *frame.Call, part bom.ID) (*callOutBlock, error) {
	found, err := c.Site.Service.CallOuts(c.R.Context(), c.View.Lines, c.View.Day, part)
	if err != nil || len(found.List) == 0 {
		return nil, err
	}
	out := &callOutBlock{More: found.More}
	link := frame.Prover(c.View)
	for _, one := range found.List {
		relaxed := link.ChangedBy(one.Change)
		row := callOutRow{What: one.What, Against: one.Relaxed, Fault: one.Fault, TryHref: changeHref(c, one.Change)}
		row.Relaxed, row.Drawn = relaxed.Money(one.Cost.Before), link.Money(one.Cost.After)
		if one.Cost.Difference.Key != "" {
			row.Costs = link.Money(one.Cost.Difference)
			row.Costs.Href, row.Costs.Text = relaxed.Href(one.Cost.After.Key), signed(row.Costs)
		}
		out.Rows = append(out.Rows, row)
	}
	return out, nil
}

// changeHref is the address at which a change is tried out.
func changeHref(c *frame.Call, ch change.Change) string {
	q := url.Values{"key": {ch.Key}, "value": {typed(c, ch.Value)}, "mix": {frame.MixText(c.View.Lines)}, "day": {string(c.View.Day)}}
	return "/change?" + q.Encode()
}

// tryBlock is a form that changes a dimension or a demand without saving.
type tryBlock struct {
	Mix, Day string
	Groups   []tryGroup
	Value    frame.Field
}

// tryGroup are the fields of one feature, finish or blank.
type tryGroup struct {
	Name   string
	Fields []frame.Option
}

// tryOf lists what can be tried out on a part: each field that its features, its
// finishes and its blank have or may have.
func tryOf(def *bom.Part, v frame.View) *tryBlock {
	t := &tryBlock{Mix: frame.MixText(v.Lines), Day: string(v.Day),
		Value: frame.Field{Name: "value", Label: "New value", Hint: "A number or a name; nothing takes an optional field away."}}
	if def.Blank != nil {
		t.add(def, "blank", "blank.", []string{"length_mm", "width_mm", "diameter_mm", "kerf_mm", "end_cut_mm", "bar_end_mm", "margin_mm", "keep_remnant_mm", "stock"})
	}
	for i, op := range def.Routing {
		at, name := "routing["+strconv.Itoa(i)+"].", strconv.Itoa(op.Number)+" "+op.Name
		for j, f := range op.Features {
			needs, uses := f.Kind.Dimensions()
			t.add(def, name+": "+f.Name, at+"features["+strconv.Itoa(j)+"].", append(append(needs, uses...), "tools"))
		}
		if op.Treatment != nil {
			t.add(def, name, at+"treatment.", []string{"thickness_um", "class", "thread_pitch_mm", "masked_dm2", "masks", "contacts", "area_dm2", "space_dm3", "pieces_per_load", "process"})
		}
		if op.Kind != bom.Outside {
			t.add(def, name+", times", at, []string{"setup_min", "pieces_per_load", "handling_min", "load_handling_min", "attended_share", "yield"})
		}
	}
	return t
}

func (t *tryBlock) add(def *bom.Part, name, at string, fields []string) {
	g := tryGroup{Name: name}
	for _, f := range fields {
		label := form.Words(f)
		if now := record.Text(reflect.ValueOf(*def), at+f); now != "" {
			label += ": " + now
		}
		g.Fields = append(g.Fields, frame.Option{Value: "book/parts/" + string(def.Number) + "/" + at + f, Label: label})
	}
	t.Groups = append(t.Groups, g)
}

// fieldKey takes the key of a field of a record apart.
func fieldKey(key string) (kind, id, path string, ok bool) {
	rest, ok := strings.CutPrefix(key, "book/")
	parts := strings.SplitN(rest, "/", 3)
	if !ok || len(parts) < 3 {
		return "", "", "", false
	}
	return parts[0], parts[1], parts[2], true
}

// fieldNow shows what a field of a record says now: a number that leads to where it
// was entered, or text; nothing for one that is not there.
func fieldNow(b *book.Book, kind, id, path string) (number frame.Fig, text string, found bool) {
	e, ok := record.Find(b, kind, id)
	if !ok {
		return frame.Fig{}, "", false
	}
	text = record.Text(e.Value, path)
	if n, isNumber := record.Number(e.Value, path); isNumber {
		return form.Reader{Kind: e.Kind.Name, Id: e.ID}.Number(n, path).Number, text, true
	}
	return frame.Fig{}, text, true
}
