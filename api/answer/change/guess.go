package change

import (
	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/making/guess"
)

// GuessAnswer says what is guessed of a part.
type GuessAnswer struct {
	Field string
	Value bom.Number
}

// Answered is the next revision of a part with questions about its first guess answered.
func (s *Shelf) Answered(number string, answers []GuessAnswer) (Draft, error) {
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
	return partDraft(part)
}
