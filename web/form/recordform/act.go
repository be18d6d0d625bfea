package recordform

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/record"
	"kerfbook/costing/text"
	"kerfbook/web/form"
)

// Sheet is a form as it was sent: what is typed, and which entries of lists are open, by
// their places.
type Sheet struct {
	Typed, Open Typed
	Book        *book.Book // that it is to stand in: a trim is named as no other of it is; nil for none
}

// Do does what a button of a list asks, such as copy routing[2], and gives the place
// that it led to. Anything else is passed over.
func (s *Sheet) Do(act string) (at string) {
	verb, place, _ := strings.Cut(act, " ")
	if verb == "add" {
		i := s.Typed.Count(place)
		at = text.Index(place, i)
		s.Typed[at] = ""
		if kind := s.Typed["new."+place]; kind != "" {
			s.Typed[at+".kind"] = kind
		}
		s.Open = s.Open.Order(place, nil)
		s.Open[at], s.Open[place] = there, there
		return at
	}
	open := strings.LastIndexByte(place, '[')
	if open < 0 {
		return ""
	}
	list := place[:open]
	i, _, ok := position(place, list)
	n := s.Typed.Count(list)
	if !ok || i >= n {
		return ""
	}
	order := make([]int, n)
	for j := range order {
		order[j] = j
	}
	switch verb {
	case "open":
		s.Open[place] = there
		return place
	case "close":
		delete(s.Open, place)
		return place
	case "copy":
		order = slices.Insert(order, i+1, i)
		at = text.Index(list, i+1)
	case "remove":
		order = slices.Delete(order, i, i+1)
		at = list
	case "up":
		at = place
		if i > 0 {
			order[i], order[i-1], at = i-1, i, text.Index(list, i-1)
		}
	case "down":
		at = place
		if i+1 < n {
			order[i], order[i+1], at = i+1, i, text.Index(list, i+1)
		}
	default:
		return ""
	}
	s.Typed, s.Open = s.Typed.Order(list, order), s.Open.Order(list, order)
	if verb == "copy" {
		delete(s.Typed, at+".id") // it has one of its own
		delete(s.Typed, at+".number")
	}
	return at
}

// Tidy drops entries of lists in which nothing is typed, and completes what follows from
// the rest: the numbers of steps and lines, the ids of what has a name, the name of a step
// that has a kind.
func (s *Sheet) Tidy(k record.Kind) { s.tidy(k.Type, "") }

func (s *Sheet) tidy(t reflect.Type, place string) {
	for _, m := range membersOf(t) {
		at := text.Field(place, m.Name)
		switch {
		case m.Shape == text.ShapeRecord:
			s.tidy(m.Leaf, at)
		case m.Nested():
			s.drop(at)
			for i := range s.Typed.Count(at) {
				if entry := text.Index(at, i); m.Entry == text.ShapeRecord {
					s.complete(m.Leaf, at, i)
					s.tidy(m.Leaf, entry)
				}
			}
		}
	}
	if place == "" {
		s.name(t, "", strings.ToUpper, nil)
	}
}

func (s *Sheet) drop(list string) {
	var stay []int
	n, filled := s.Typed.Count(list), s.Typed.filled()
	for i := range n {
		if filled[text.Index(list, i)] {
			stay = append(stay, i)
		}
	}
	if len(stay) < n {
		s.Typed, s.Open = s.Typed.Order(list, stay), s.Open.Order(list, stay)
	}
}

// complete fills in what an entry of a list can be told from the others.
func (s *Sheet) complete(t reflect.Type, list string, i int) {
	entry := text.Index(list, i)
	if kind := s.Typed[entry+".kind"]; kind != "" && record.Field(reflect.New(t).Elem(), "name").IsValid() && s.blank(entry+".name") {
		s.Typed[entry+".name"] = form.Words(kind)
	}
	number := record.Field(reflect.New(t).Elem(), "number")
	if number.IsValid() && number.Kind() == reflect.Int && s.blank(entry+".number") {
		last := 0
		for j := range s.Typed.Count(list) {
			if n, err := strconv.Atoi(s.Typed[text.Index(list, j)+".number"]); err == nil {
				last = max(last, n)
			}
		}
		s.Typed[entry+".number"] = strconv.Itoa(last/10*10 + 10)
	}
	s.name(t, entry, func(slug string) string { return slug }, func(id string) bool {
		for j := range s.Typed.Count(list) {
			if j != i && s.Typed[text.Index(list, j)+".id"] == id {
				return true
			}
		}
		return t == reflect.TypeFor[bom.Trim]() && s.Book != nil && slices.ContainsFunc(s.Book.Products, func(p bom.Product) bool {
			return slices.ContainsFunc(p.Trims, func(t bom.Trim) bool { return string(t.ID) == id })
		})
	})
}

func (s *Sheet) blank(place string) bool { return strings.TrimSpace(s.Typed[place]) == "" }

// name gives a record that has a name and no id one made of it.
func (s *Sheet) name(t reflect.Type, place string, letters func(string) string, taken func(string) bool) {
	name := strings.TrimSpace(s.Typed[text.Field(place, "name")])
	for _, m := range membersOf(t) {
		at := text.Field(place, m.Name)
		if name == "" || m.Shape != text.ShapeID || m.Name != "id" && m.Name != "number" || !s.blank(at) {
			continue
		}
		slug := letters(bom.Slug(name))
		slug = strings.Trim(slug[:min(len(slug), 36)], "-")
		s.Typed[at] = slug
		for n := 2; taken != nil && taken(s.Typed[at]); n++ {
			s.Typed[at] = slug + "-" + strconv.Itoa(n)
		}
	}
}
