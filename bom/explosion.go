package bom

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"
)

// MaxLevels is the most levels of parts inside parts that are exploded.
const MaxLevels = 32

// CycleError is a part that contains itself: the path leads from the part back
// to it.
type CycleError struct{ Path []ID }

func (e *CycleError) Error() string {
	return "part " + string(e.Path[0]) + " contains itself: " + CycleText(e.Path)
}

// CycleText writes a path of parts as A > B > C.
func CycleText(path []ID) string {
	steps := make([]string, len(path))
	for i, id := range path {
		steps[i] = string(id)
	}
	return strings.Join(steps, " > ")
}

// MissingPartError is a part number that no part has; In is the part that names
// it, empty at the top.
type MissingPartError struct{ Part, In ID }

func (e *MissingPartError) Error() string {
	if e.In == "" {
		return fmt.Sprintf("there is no part %s", e.Part)
	}
	return fmt.Sprintf("there is no part %s, which %s contains", e.Part, e.In)
}

// DepthError is parts nested deeper than MaxLevels.
type DepthError struct{ Part ID }

func (e *DepthError) Error() string {
	return fmt.Sprintf("part %s lies deeper than %d levels", e.Part, MaxLevels)
}

// PartsByNumber indexes parts; of parts with the same number the first counts.
func PartsByNumber(parts []Part) map[ID]*Part {
	index := make(map[ID]*Part, len(parts))
	for i := range parts {
		if _, ok := index[parts[i].Number]; !ok {
			index[parts[i].Number] = &parts[i]
		}
	}
	return index
}

// FindCycles gives one path for each line of an assembly that closes a cycle, in
// the order of the parts.
func FindCycles(parts []Part) [][]ID {
	s := cycleSearch{parts: PartsByNumber(parts), state: map[ID]visit{}}
	for i := range parts {
		s.enter(parts[i].Number)
	}
	return s.found
}

type visit int

const (
	unseen visit = iota
	open         // on the path being followed
	done
)

type cycleSearch struct {
	parts map[ID]*Part
	state map[ID]visit
	path  []ID
	found [][]ID
}

func (s *cycleSearch) enter(id ID) {
	part, known := s.parts[id]
	switch {
	case !known || s.state[id] == done:
		return
	case s.state[id] == open:
		from := slices.Index(s.path, id)
		s.found = append(s.found, append(slices.Clone(s.path[from:]), id))
		return
	}
	s.state[id] = open
	s.path = append(s.path, id)
	for _, child := range part.Children {
		s.enter(child.Part)
	}
	s.path = s.path[:len(s.path)-1]
	s.state[id] = done
}

// Need is a quantity of a part.
type Need struct {
	Part     ID
	Quantity decimal.Decimal
}

// Pooled is a part of an explosion with its quantity over all the places where
// it is used.
type Pooled struct {
	Part     ID
	Quantity decimal.Decimal
	// Level is the low-level code: the greatest number of levels between the
	// top and any use of the part, 0 at the top.
	Level int
}

// Explode gives all parts that the needs consist of, with nominal quantities:
// likely figures, multiplied exactly, without yields, scrap or rounding. A part
// comes after all parts that contain it. Errors are *MissingPartError,
// *CycleError and *DepthError.
func Explode(parts map[ID]*Part, needs ...Need) ([]Pooled, error) {
	levels, err := lowLevels(parts, needs)
	if err != nil {
		return nil, err
	}
	quantity := make(map[ID]decimal.Decimal, len(levels))
	for _, n := range needs {
		quantity[n.Part] = quantity[n.Part].Add(n.Quantity)
	}
	order := byLevel(levels)
	for i := range order {
		order[i].Quantity = quantity[order[i].Part]
		for _, child := range parts[order[i].Part].Children {
			quantity[child.Part] = quantity[child.Part].Add(order[i].Quantity.Mul(child.Quantity.Likely))
		}
	}
	return order, nil
}

func byLevel(levels map[ID]int) []Pooled {
	order := make([]Pooled, 0, len(levels))
	for id, level := range levels {
		order = append(order, Pooled{Part: id, Level: level})
	}
	slices.SortFunc(order, func(a, b Pooled) int {
		return cmp.Or(cmp.Compare(a.Level, b.Level), cmp.Compare(a.Part, b.Part))
	})
	return order
}

// lowLevels finds the low-level code of every part below the needs. It first
// makes sure that there is no cycle, then goes down level by level, so that a
// part shared by many is looked at once per level and not once per path.
func lowLevels(parts map[ID]*Part, needs []Need) (map[ID]int, error) {
	levels := map[ID]int{}
	current := map[ID]ID{} // a part of the level and one that contains it
	for _, n := range needs {
		current[n.Part] = ""
	}
	if err := checkBelow(parts, needs); err != nil {
		return nil, err
	}
	for level := 0; len(current) > 0; level++ {
		below := map[ID]ID{}
		for id := range current {
			if level > MaxLevels {
				return nil, &DepthError{deepest(current)}
			}
			levels[id] = level
			for _, child := range parts[id].Children {
				below[child.Part] = id
			}
		}
		current = below
	}
	return levels, nil
}

// deepest picks one part, always the same.
func deepest(ids map[ID]ID) ID {
	var first ID
	for id := range ids {
		if first == "" || id < first {
			first = id
		}
	}
	return first
}

// checkBelow looks for missing parts and cycles under the needs.
func checkBelow(parts map[ID]*Part, needs []Need) error {
	s := cycleSearch{parts: parts, state: map[ID]visit{}}
	for _, n := range needs {
		if parts[n.Part] == nil {
			return &MissingPartError{Part: n.Part}
		}
		s.enter(n.Part)
	}
	if len(s.found) > 0 {
		return &CycleError{s.found[0]}
	}
	for _, id := range sortedIDs(s.state) {
		for _, child := range parts[id].Children {
			if parts[child.Part] == nil {
				return &MissingPartError{child.Part, id}
			}
		}
	}
	return nil
}

func sortedIDs[V any](m map[ID]V) []ID {
	ids := make([]ID, 0, len(m))
	for id := range m {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids
}
