package graph

import "kerfbook/bom"

// Override is a number that a person puts in the place of a computed figure.
type Override struct {
	Number bom.Number
	Unit   string // as [Unit.String] writes that of the figure
	Reason string
	Since  bom.Date
	Path   string // of the number in the book
}

// InPlace is where the source of a number says it is from that stands in the
// place of a computed figure.
const InPlace = "entered in place of the computed figure"

// computedName is the last element of the key that a computed figure has when
// another stands in its place.
const computedName = "/computed"

// Override puts a number in the place of the computed figure with a key, from the
// moment it is built. The figure itself stays, under the key with /computed
// behind it; what rests on the key rests on the number. What is no computed
// figure, and a number in another unit, are faults of kind BadOverride.
func (b *Builder) Override(key string, o Override) {
	if b.overrides == nil {
		b.overrides = map[string]Override{}
	}
	b.overrides[key] = o
}

// override adds a node whose key is overridden: the node under its new key, and
// the number. A number that cannot stand there is reported, and the node keeps
// its place.
func (b *Builder) override(n slot, args []ID, o Override) ID {
	key := n.key()
	delete(b.overrides, key)
	switch {
	case n.kind == Input:
		b.fault(BadOverride, key, "%s is a number that was entered; change the input itself", n.label)
		return b.add(n, args...)
	case n.kind != Computed:
		b.fault(BadOverride, key, "%s is not computed, so nothing can be put in its place; only computed figures can be overridden", n.label)
		return b.add(n, args...)
	case len(key)+len(computedName) > maxKey:
		b.fault(BadOverride, key, "the key is too long to be overridden")
		return b.add(n, args...)
	}
	n.name += computedName
	computed := b.add(n, args...)
	if computed < 0 {
		return computed
	}
	unit := *b.at(computed).unit
	if unit.String() != o.Unit {
		b.fault(BadOverride, key, "%s is in %q, not in %q", n.label, unit, o.Unit)
	}
	s := Scope{b: b, of: n.of, source: &Source{Where: InPlace, Cite: o.Reason + ", since " + string(o.Since)}, path: o.Path}
	id := s.Number(key, n.label, unit, o.Number, "")
	b.findings = append(b.findings, Finding{Note, key, n.label + thing(n.of) + " is entered, since " + string(o.Since) + ": " + o.Reason, o.Path})
	return id
}

func thing(of string) string {
	if of == "" {
		return ""
	}
	return " of " + of
}

// Computed gives the computed figure in whose place the number with a key stands;
// ok is false for any other key.
func (g *Graph) Computed(key string) (computed ID, ok bool) {
	id, ok := g.Find(key)
	if !ok {
		return None, false
	}
	if source := g.Source(id); source == nil || source.Where != InPlace {
		return None, false
	}
	return g.Find(key + computedName)
}
