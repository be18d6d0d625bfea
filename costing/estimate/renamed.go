package estimate

import (
	"cmp"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/trade"
)

// Renamed gives the key that a number entered for a mix has, where the key given is
// the one it had while each variant had an input of its own for what its product or
// price says, the ends of a bar were its trim and grip, or RenamedFigure knows it. Any
// other key is given back.
func Renamed(b *book.Book, mix []MixLine, key string) string {
	key = RenamedFigure(key)
	of, name := key[:strings.LastIndexByte(key, '/')+1], key[strings.LastIndexByte(key, '/')+1:]
	switch {
	case strings.HasPrefix(of, "destination/"):
		return of + strings.TrimSuffix(name, "-per-piece")
	case strings.HasPrefix(of, "part/") && name == "trim":
		return of + "end-cut"
	case strings.HasPrefix(of, "part/") && name == "grip":
		return of + "bar-end"
	}
	for _, l := range mix {
		if own, ok := strings.CutPrefix(key, "variant/"+l.Name()+"/"); ok {
			return cmp.Or(renamedOf(b, l, own), key)
		}
	}
	return key
}

// RenamedFigure gives the key of what is entered or computed for a landed price, where
// the key given is the one it had while this was at place or duty paid.
func RenamedFigure(key string) string {
	at := strings.Split(key, "/") // destination/GB/plain/at-place/total
	if len(at) < 5 || at[0] != "destination" {
		return key
	}
	switch at[3] {
	case "at-place":
		at[3] = "buyer-clears"
	case "duty-paid":
		at[3] = "all-paid"
	}
	return strings.Join(at, "/")
}

// renamedOf gives the key of what was entered for a variant below its own key; "" for
// what was computed for it.
func renamedOf(b *book.Book, l MixLine, own string) string {
	if l.Part != "" {
		return ""
	}
	product := "product/" + string(l.Product) + "/"
	kind, rest, _ := strings.Cut(own, "/")
	switch {
	case kind == "op" || kind == "position" || kind == "special":
		return product + own
	case own == "each/special-selling":
		return product + rest
	case kind == "price":
		channel, name, _ := strings.Cut(rest, "/")
		if name == "list-price" || name == "shelf-price" {
			name = "entered-" + name
		}
		record := trade.Price{Product: l.Product, Trim: l.Trim, Channel: bom.ID(channel)}
		if !slices.ContainsFunc(b.Prices, func(p trade.Price) bool { return p.ID() == record.ID() }) {
			record.Trim = ""
		}
		return "price/" + string(record.ID()) + "/" + name
	}
	return ""
}
