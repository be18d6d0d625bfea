package web

import (
	"net/url"
	"reflect"
	"strconv"
	"strings"

	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
)

// callOutBlock is what each demand of a drawing costs.
type callOutBlock struct {
	Rows []callOutRow
	More int
}

// callOutRow is one demand with what it is compared with.
type callOutRow struct {
	What, Against         string
	Relaxed, Drawn, Costs fig
	Fault, TryHref        string
}

// callOuts compares the demands of a part in the batch of the view; nil where
// there are none.
func callOuts(c *call, part bom.ID) (*callOutBlock, error) {
	found, err := c.site.svc.CallOuts(c.r.Context(), c.view.Lines, c.view.Day, part)
	if err != nil || len(found.List) == 0 {
		return nil, err
	}
	out := &callOutBlock{More: found.More}
	link := prover(c.view)
	for _, one := range found.List {
		relaxed := link.changedBy(one.Change)
		row := callOutRow{What: one.What, Against: one.Relaxed, Fault: one.Fault, TryHref: changeHref(c.view, one.Change)}
		row.Relaxed, row.Drawn = relaxed.money(one.Cost.Before), link.money(one.Cost.After)
		if one.Cost.Difference.Key != "" {
			row.Costs = link.money(one.Cost.Difference)
			row.Costs.Href, row.Costs.Text = relaxed.href(one.Cost.After.Key), signed(row.Costs)
		}
		out.Rows = append(out.Rows, row)
	}
	return out, nil
}

// changeHref is the address at which a change is tried out.
func changeHref(v view, ch change.Change) string {
	q := url.Values{"key": {ch.Key}, "value": {ch.Value}, "mix": {mixText(v.Lines)}, "day": {string(v.Day)}}
	return "/change?" + q.Encode()
}

// tryBlock is a form that changes a dimension or a demand without saving.
type tryBlock struct {
	Mix, Day string
	Groups   []tryGroup
	Value    field
}

// tryGroup are the fields of one feature, finish or blank.
type tryGroup struct {
	Name   string
	Fields []option
}

// tryOf lists what can be tried out on a part: each field that its features, its
// finishes and its blank have or may have.
func tryOf(def *bom.Part, v view) *tryBlock {
	t := &tryBlock{Mix: mixText(v.Lines), Day: string(v.Day),
		Value: field{Name: "value", Label: "New value", Hint: "A number or a name; nothing takes an optional field away."}}
	if def.Blank != nil {
		t.add(def, "blank", "blank.", []string{"length_mm", "width_mm", "diameter_mm", "kerf_mm", "trim_mm", "grip_mm", "margin_mm", "keep_remnant_mm", "stock"})
	}
	for i, op := range def.Routing {
		at, name := "routing["+strconv.Itoa(i)+"].", strconv.Itoa(op.Number)+" "+op.Name
		for j, f := range op.Features {
			needs, uses := f.Kind.Dimensions()
			t.add(def, name+": "+f.Name, at+"features["+strconv.Itoa(j)+"].", append(append(needs, uses...), "tools"))
		}
		if op.Treatment != nil {
			t.add(def, name, at+"treatment.", []string{"thickness_um", "class", "masked_dm2", "masks", "area_dm2", "pieces_per_load", "process"})
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
		label := words(f)
		if now := record.Text(reflect.ValueOf(*def), at+f); now != "" {
			label += ": " + now
		}
		g.Fields = append(g.Fields, option{Value: "book/parts/" + string(def.Number) + "/" + at + f, Label: label})
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
func fieldNow(b *book.Book, kind, id, path string) (number fig, text string, found bool) {
	e, ok := record.Find(b, kind, id)
	if !ok {
		return fig{}, "", false
	}
	text = record.Text(e.Value, path)
	if n, isNumber := record.Number(e.Value, path); isNumber {
		return reader{kind: e.Kind.Name, id: e.ID}.number(n, path).Number, text, true
	}
	return fig{}, text, true
}
