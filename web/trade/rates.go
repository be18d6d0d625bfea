package trade

import (
	"reflect"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/rates"
	"kerfbook/costing/text"
	"kerfbook/web/form"
	"kerfbook/web/frame"
)

// ratesBody shows the rate cards and the lists that hold rates.
type ratesBody struct {
	Empty bool
	Cards []rateCard
	Lists []recordTable
}

// rateCard is a rate card as it was entered.
type rateCard struct {
	ID, Name, Href string
	InForce        bool
	Content        form.Content
}

// recordTable shows all records of a kind, one a line.
type recordTable struct {
	ID, Name, Purpose, NewHref string
	Heads                      []form.TableHead
	Rows                       []recordLine
}

// recordLine is one record of it.
type recordLine struct {
	ID, Href string
	Cells    []form.Entry
}

// rates shows what an hour, a share and a currency cost.
func ratesPage(c *frame.Call) error {
	sheet, link, err := c.Whole()
	if err != nil {
		return err
	}
	body := ratesBody{Empty: len(c.Book.RateCards) == 0}
	inForce, ok := rates.CardOn(c.Book.RateCards, c.View.Day)
	for _, e := range form.RecordsOf(c.Book, "rate_cards") {
		r := form.Reader{Sheet: sheet, Link: link, Kind: e.Kind.Name, Id: e.ID, Root: e.Path}
		body.Cards = append(body.Cards, rateCard{"card-" + frame.FieldID(e.ID), e.ID, form.RecordAddress(e), ok && string(inForce.ID) == e.ID, r.Record("", e.Value)})
	}
	for _, kind := range []string{"wages", "work_centres", "materials", "metal_prices", "outside_processes", "channels", "prices", "carriers", "destinations"} {
		k, _ := form.KindOf(kind)
		body.Lists = append(body.Lists, listOf(c.Book, k, sheet, link))
	}
	return c.Show("rates", c.Page("rates", "Rates", &body))
}

// listOf lays out the simple fields of all records of a kind.
func listOf(b *book.Book, k form.RecordKind, sheet *answer.Sheet, link frame.Linker) recordTable {
	t := recordTable{ID: "list-" + strings.ReplaceAll(k.Kind, "_", "-"), Name: k.Name, Purpose: k.Purpose, NewHref: "/book/" + k.Kind + "/new"}
	all := form.RecordsOf(b, k.Kind)
	if len(all) == 0 {
		return t
	}
	var columns []int
	typ := all[0].Value.Type()
	for j := range typ.NumField() {
		name := record.FieldName(typ.Field(j))
		if name == "id" || !filled(all, j) {
			continue
		}
		columns = append(columns, j)
		t.Heads = append(t.Heads, form.TableHead{Name: form.Label(k.Kind, name), Num: form.IsNumeric(typ.Field(j).Type)})
	}
	for _, e := range all {
		r := form.Reader{Sheet: sheet, Link: link, Kind: e.Kind.Name, Id: e.ID, Root: e.Path}
		line := recordLine{ID: e.ID, Href: form.RecordAddress(e)}
		for _, j := range columns {
			cell := r.Simple(e.Value.Field(j), text.Field("", record.FieldName(typ.Field(j))))
			cell.Num = form.IsNumeric(typ.Field(j).Type)
			line.Cells = append(line.Cells, cell)
		}
		t.Rows = append(t.Rows, line)
	}
	return t
}

// filled finds the simple fields that any record has.
func filled(all []record.Record, field int) bool {
	any := false
	for _, e := range all {
		v := e.Value.Field(field)
		if v.Kind() == reflect.Pointer && !v.IsNil() {
			v = v.Elem()
		}
		if !v.IsZero() {
			if !form.IsSimple(v) {
				return false
			}
			any = true
		}
	}
	return any
}
