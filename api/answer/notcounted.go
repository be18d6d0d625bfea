package answer

import (
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/text"
)

// NotCounted is a matter that usually costs something and has no figure in a batch:
// of one of its products or parts.
type NotCounted struct {
	Record string `json:"record" doc:"Kind and number of the record, such as parts/HS-010"`
	Name   string `json:"name"`
	What   string `json:"what"`
	Of     string `json:"of,omitempty" doc:"The operation or destination; absent for the record as a whole"`
	Enter  string `json:"enter" doc:"The fields that would count it"`
	Answer string `json:"answer,omitempty" enum:"entered,none,in_rate" doc:"What the shop says under not_counted; absent if nothing"`
	Where  string `json:"where,omitempty" doc:"What the shop says contains it"`
	// Text is the same for people.
	Text string `json:"text"`
}

// Answered reports whether the shop says why there is no figure.
func (n NotCounted) Answered() bool { return n.Answer != "" }

// notCounted lists what is usual and has no figure in the products and parts of a
// batch, in the order of the book.
func notCounted(est *estimate.Estimate) []NotCounted {
	used, uses := map[string]bool{}, est.Book.Uses()
	for _, v := range est.Variants {
		used["products/"+string(v.Line.Product)] = true
		delete(uses.Into, v.Line.Part) // it is sold by itself here
	}
	for _, p := range est.Parts {
		used["parts/"+string(p.Def.Number)] = true
	}
	out := []NotCounted{}
	for i := range est.Book.Products {
		if p := &est.Book.Products[i]; used["products/"+string(p.Number)] {
			out = append(out, notCountedProduct(est.Book, i, est.Day)...)
		}
	}
	for i := range est.Book.Parts {
		if p := &est.Book.Parts[i]; used["parts/"+string(p.Number)] {
			out = append(out, notCountedPart(est.Book, i, uses)...)
		}
	}
	return out
}

// NotCountedAnywhere lists what is usual and has no figure in all products and parts of a book.
func NotCountedAnywhere(b *book.Book, day bom.Date) []NotCounted {
	var out []NotCounted
	for i := range b.Products {
		out = append(out, notCountedProduct(b, i, day)...)
	}
	uses := b.Uses()
	for i := range b.Parts {
		out = append(out, notCountedPart(b, i, uses)...)
	}
	return out
}

func notCountedProduct(b *book.Book, i int, day bom.Date) []NotCounted {
	p := &b.Products[i]
	return notCountedOf("products", p.Number, p.Name, b.ProductOmissions(p, text.Index("products", i), day))
}

// NotCountedPart lists what is usual and has no figure in the part at a place of
// the book's list.
func NotCountedPart(b *book.Book, i int) []NotCounted { return notCountedPart(b, i, b.Uses()) }

func notCountedPart(b *book.Book, i int, u book.Uses) []NotCounted {
	p := &b.Parts[i]
	return notCountedOf("parts", p.Number, p.Name, b.Omissions(p, text.Index("parts", i), u))
}

func notCountedOf(kind string, id bom.ID, name string, list []book.Omission) []NotCounted {
	out := make([]NotCounted, len(list))
	for i, o := range list {
		out[i] = NotCounted{Record: kind + "/" + string(id), Name: name, What: string(o.What), Of: o.Of, Enter: o.ToEnter,
			Answer: string(o.Answer), Where: o.Where, Text: o.String()}
	}
	return out
}
