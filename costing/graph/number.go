package graph

import "kerfbook/bom"

// Number adds what a person typed: a constant, or a range where a range was
// given. path is the field's place below the path of the scope's source.
func (s Scope) Number(name, label string, unit Unit, n bom.Number, path string) ID {
	if path != "" && s.path != "" {
		s.path += "." + path
	}
	if n.Missing {
		return s.Missing(name, label, unit, label+thing(s.Record()))
	}
	if n.IsRange {
		return s.Estimate(name, label, unit, n)
	}
	return s.Input(name, label, unit, n.Likely)
}

// Optional is [Scope.Shared] where the book gives a number, and None where not.
func (s Scope) Optional(name, label string, unit Unit, n *bom.Number, path string) ID {
	if n == nil {
		return None
	}
	return s.Shared(name, label, unit, *n, path)
}

// Shared adds a number, or finds it again where another user of the same record
// has added it.
func (s Scope) Shared(name, label string, unit Unit, n bom.Number, path string) ID {
	return s.Once(name, func() ID { return s.Number(name, label, unit, n, path) })
}

// Once gives the figure of a name: that which is there, or what write adds.
func (s Scope) Once(name string, write func() ID) ID {
	if id := s.Known(name); id != None {
		return id
	}
	return write()
}

// Within narrows the path of the source.
func (s Scope) Within(path string) Scope {
	if s.path != "" {
		s.path += "." + path
	}
	return s
}

// Total adds the terms that exist. A single term stands for itself, and the
// total of none is None.
func (s Scope) Total(name, label string, terms ...ID) ID {
	given := existing(terms)
	if len(given) == 1 {
		return given[0]
	}
	return s.Sum(name, label, given...)
}

// Sum adds the terms that exist as a figure of its own even if there is one: the
// key is there whatever the book holds. The sum of none is None.
func (s Scope) Sum(name, label string, terms ...ID) ID {
	given := existing(terms)
	if len(given) == 0 {
		return None
	}
	return s.Add(name, label, given...)
}

func existing(terms []ID) []ID {
	given := make([]ID, 0, len(terms))
	for _, t := range terms {
		if t != None {
			given = append(given, t)
		}
	}
	return given
}

// Or gives the first figure that is there: what was made of a figure, or the figure
// itself where there is nothing to make of it.
func Or(ids ...ID) ID {
	for _, id := range ids {
		if id != None {
			return id
		}
	}
	return None
}
