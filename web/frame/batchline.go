package frame

import (
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
)

// BatchLine says in words which batches the figures of a page are of.
type BatchLine struct {
	Text string // empty where nothing was estimated
	Day  string // of the rates and rules
}

// BatchLine puts batches of the view in words.
func (c *Call) BatchLine(mixes ...[]estimate.MixLine) BatchLine {
	var lines []estimate.MixLine
	for _, mix := range mixes {
		lines = append(lines, mix...)
	}
	if len(lines) == 0 || !c.Faults.Empty() {
		return BatchLine{}
	}
	if len(lines) == 1 && lines[0].Part != "" {
		return BatchLine{mixWords(c.Book, lines) + ", alone", string(c.View.Day)}
	}
	how := "In one batch of "
	if len(mixes) > 1 {
		how = "Each trim in a batch of its own: "
	}
	return BatchLine{how + mixWords(c.Book, lines), string(c.View.Day)}
}

// mixWords writes a mix with the names of its trims.
func mixWords(b *book.Book, lines []estimate.MixLine) string {
	var out []string
	for _, l := range lines {
		out = append(out, l.Quantity.Likely.String()+" × "+LineWords(b, l))
	}
	return strings.Join(out, ", ")
}

// trimName gives a trim, or a part alone, its name of the book, or the id it is asked for by.
func trimName(b *book.Book, l estimate.MixLine) string {
	if p, _ := b.Part(l.Part); p != nil {
		return p.Name
	}
	for _, p := range b.Products {
		for _, t := range p.Trims {
			if p.Number == l.Product && t.ID == l.Trim {
				return b.TrimName(&p, &t)
			}
		}
	}
	return string(l.Trim)
}

// LineWords names a variant: its trim, with the choices in place of the trim's own.
func LineWords(b *book.Book, l estimate.MixLine) string {
	name := trimName(b, l)
	var words []string
	for _, p := range b.Products {
		for _, o := range p.Options {
			if p.Number == l.Product && l.Choices[o.ID] != "" {
				words = append(words, ChoiceName(p, o, l))
			}
		}
	}
	if len(words) > 0 {
		name += " with " + strings.Join(words, " and ")
	}
	return name
}

// VariantName names a trim, with the choices that differ from it.
func VariantName(name string, l estimate.MixLine) string {
	if words := choiceWords(l); len(words) > 0 {
		return name + " with " + strings.Join(words, ", ")
	}
	return name
}

func ChoiceName(p bom.Product, o bom.Option, l estimate.MixLine) string {
	chosen := l.Choices[o.ID]
	for _, t := range p.Trims {
		if t.ID == l.Trim && chosen == "" {
			chosen = t.Choices[o.ID]
		}
	}
	for _, c := range o.Choices {
		if c.ID == chosen {
			return c.Name
		}
	}
	return string(chosen)
}
