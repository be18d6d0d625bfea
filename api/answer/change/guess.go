package change

import (
	"slices"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/making/guess"
	"kerfbook/costing/rates"
)

// GuessAnswer says what is guessed of a part.
type GuessAnswer struct {
	Field string
	Value bom.Number
}

// Cut is something said to be cut into a part, CutShape what may be said of it.
type (
	Cut      = guess.Cut
	CutShape = guess.Shape
)

// Said is what somebody says of a part that is guessed at.
type Said struct {
	Guesses []GuessAnswer
	Cuts    []Cut
	All     bool // nothing else is cut into it
	Counted []bom.CountAnswer
}

// ShapesOf lists what may be said to be cut into a part; nothing where its minutes are
// entered whole.
func ShapesOf(def *bom.Part) []CutShape {
	if def.FirstGuess == nil {
		return nil
	}
	routed := guess.Routed(def)
	at := slices.IndexFunc(routed.Routing, func(o bom.Operation) bool { return o.Kind == bom.Machining })
	if at < 0 || routed.Routing[at].PieceMin != nil || routed.Routing[at].CuttingMin != nil {
		return nil
	}
	return guess.Shapes(def.FirstGuess.Way)
}

// Answered is the next revision of a part of which something was said, and what the shop
// begins with so that it can be made: tools for what is cut into it, and its material, as
// records that say where they come from.
func (s *Shelf) Answered(number string, said Said) ([]Draft, error) {
	_, part, err := s.Part(number)
	if err != nil {
		return nil, err
	}
	for _, a := range said.Guesses {
		var asked bool
		if part, asked = guess.Answered(&part, a.Field, a.Value); !asked {
			return nil, answer.Errorf(answer.Conflict, "%s is not guessed of part %s any more", a.Field, number)
		}
	}
	var comes []Draft
	if len(said.Cuts) > 0 || said.All {
		if part, err = guess.CutInto(&part, said.Cuts, said.All); err != nil {
			return nil, answer.Unexpected(err)
		}
		if comes, err = begun(s.Book, &part); err != nil {
			return nil, err
		}
	}
	now := func(c bom.CountAnswer) bool {
		return slices.ContainsFunc(said.Counted, func(now bom.CountAnswer) bool { return now.What == c.What })
	}
	part.NotCounted = append(slices.DeleteFunc(slices.Clone(part.NotCounted), now), said.Counted...)
	d, err := partDraft(part)
	return append([]Draft{d}, comes...), err
}

// begun gives the tools of starter sets that the features of a part want and the book
// does not have, and its material where that ships with the program.
func begun(b *book.Book, part *bom.Part) ([]Draft, error) {
	var comes rates.Starter
	for i := range part.Routing {
		op := &part.Routing[i]
		for j := range op.Features {
			f := &op.Features[j]
			cuts := func(t bom.Tool) bool {
				return slices.Contains(f.Kind.ToolKinds(), t.Kind) && t.Misfit(f, op.WorkCentre) == ""
			}
			if f.Kind.ByHand() || len(f.Tools) > 0 || slices.ContainsFunc(b.Tools, cuts) || slices.ContainsFunc(comes.Tools, cuts) {
				continue
			}
			if t, ok, err := rates.StarterTool(f); err != nil {
				return nil, answer.Unexpected(err)
			} else if ok {
				comes.Tools = append(comes.Tools, t)
			}
		}
	}
	taken, err := taking(b, comes)
	if err != nil || slices.ContainsFunc(b.Materials, func(m rates.Material) bool { return m.ID == part.FirstGuess.Material }) {
		return taken.Drafts, err
	}
	material, err := Take(b, part.FirstGuess.Material)
	if answer.CodeOf(err) == answer.NotFound { // the estimate says that it is unknown
		return taken.Drafts, nil
	}
	return append(taken.Drafts, material.Drafts...), err
}
