package change

import (
	"slices"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/making/guess"
)

// GuessAnswer says what is guessed of a part.
type GuessAnswer struct {
	Field string
	Value bom.Number
}

// Answered is the next revision of a part with questions about its first guess answered,
// and what is said of matters that have no figure.
func (s *Shelf) Answered(number string, answers []GuessAnswer, counted []bom.CountAnswer) (Draft, error) {
	_, part, err := s.Part(number)
	if err != nil {
		return Draft{}, err
	}
	for _, a := range answers {
		var asked bool
		if part, asked = guess.Answered(&part, a.Field, a.Value); !asked {
			return Draft{}, answer.Errorf(answer.Conflict, "%s is not guessed of part %s any more", a.Field, number)
		}
	}
	said := func(c bom.CountAnswer) bool {
		return slices.ContainsFunc(counted, func(now bom.CountAnswer) bool { return now.What == c.What })
	}
	part.NotCounted = append(slices.DeleteFunc(slices.Clone(part.NotCounted), said), counted...)
	return partDraft(part)
}
