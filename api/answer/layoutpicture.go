package answer

import (
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/making/blank"
)

// Pictures draws how the blanks of a made part lie on its stock: one full piece,
// or all that are cut differently where the batch shares stock with other parts.
// The error is a *blank.PictureError, which says why there is no picture.
func (s *Sheet) Pictures(b *book.Book, part *bom.Part) ([]blank.Picture, error) {
	if part.Blank == nil {
		return nil, nil
	}
	stock, _ := b.Stock(part.Blank.Stock)
	if stock == nil {
		return nil, nil
	}
	if lot := s.sharers(b, part); len(lot) > 1 {
		return blank.SharedLayout(lot, stock)
	}
	one, err := blank.Layout(part.Blank, stock)
	if err != nil {
		return nil, err
	}
	return []blank.Picture{one}, nil
}

// sharers are the parts that the batch cuts from the same stock together, by
// number, with how many of each.
func (s *Sheet) sharers(b *book.Book, part *bom.Part) []blank.SharedBlank {
	if !part.Blank.ShareStock {
		return nil
	}
	var out []blank.SharedBlank
	for i := range b.Parts {
		p := &b.Parts[i]
		if p.Kind != bom.Made || p.Blank == nil || !p.Blank.ShareStock || p.Blank.Stock != part.Blank.Stock {
			continue
		}
		start, used := s.Figure("part/" + string(p.Number) + "/start").Number()
		per, _ := s.Figure("part/" + string(p.Number) + "/per-stock").Number()
		if used {
			out = append(out, blank.SharedBlank{Part: p.Number, Def: p.Blank, Start: start.IntPart(), PerStock: per.IntPart()})
		}
	}
	slices.SortFunc(out, func(p, q blank.SharedBlank) int { return strings.Compare(string(p.Part), string(q.Part)) })
	return out
}
