package compare

import "strings"

// naming gives the keys of one side names that both sides share.
type naming struct {
	headline string
	elements map[string]string // per element of a key that has another name on the other side
}

// The marks that stand for an element in which the headlines differ, and for the
// element of the other headline should it occur on the same side. No key has them.
const (
	ownMark   = "≙own"
	otherMark = "≙other"
)

// namings compares the keys of two headlines element by element. The first
// element, which says what sort of thing it is, and the last, which names the
// figure, are never taken for one another in other keys.
func namings(before, after string) (b, a naming) {
	b, a = naming{headline: before}, naming{headline: after}
	was, is := strings.Split(before, "/"), strings.Split(after, "/")
	if before == after || len(was) != len(is) {
		return b, a
	}
	b.elements, a.elements = map[string]string{}, map[string]string{}
	for i := 1; i < len(was)-1; i++ {
		if was[i] == is[i] || b.elements[was[i]] != "" || b.elements[is[i]] != "" {
			continue
		}
		at := string(rune('0' + i%10))
		b.elements[was[i]], b.elements[is[i]] = ownMark+at, otherMark+at
		a.elements[is[i]], a.elements[was[i]] = ownMark+at, otherMark+at
	}
	return b, a
}

// of gives the shared name of a key.
func (n naming) of(key string) string {
	if key == n.headline {
		return "headline"
	}
	if len(n.elements) == 0 {
		return key
	}
	elements := strings.Split(key, "/")
	for i, e := range elements {
		if mark, ok := n.elements[e]; ok && i > 0 {
			elements[i] = mark
		}
	}
	return strings.Join(elements, "/")
}
