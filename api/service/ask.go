package service

import (
	"context"
	"errors"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph/proof"
)

// Origin gives the stored book to be asked; NotFound if there is none.
func (s *Service) Origin(ctx context.Context) (answer.Origin, error) {
	held, err := s.current(ctx)
	if err != nil {
		return answer.Origin{}, err
	}
	return s.originOf(held), nil
}

// maxBatches bounds a price list.
const maxBatches = 500

// PriceList prices trims of the stored book.
func (s *Service) PriceList(ctx context.Context, req answer.PriceRequest) (answer.PriceList, answer.Version, error) {
	o, err := s.Origin(ctx)
	if err != nil {
		return answer.PriceList{}, "", err
	}
	if n := req.Batches(o.Book); n > maxBatches {
		return answer.PriceList{}, "", answer.Errorf(answer.TooLarge, "%d batches are asked for; at most %d are priced at once", n, maxBatches)
	}
	list, err := o.Price(ctx, req)
	return list, o.Version, err
}

// Estimate gives the figures of a batch.
func (s *Service) Estimate(ctx context.Context, mix []estimate.MixLine, day bom.Date) (answer.Estimate, answer.Version, error) {
	o, err := s.Origin(ctx)
	if err != nil {
		return answer.Estimate{}, "", err
	}
	e, err := o.Evaluate(ctx, mix, day)
	if err != nil {
		return answer.Estimate{}, "", err
	}
	return e.Figures(), o.Version, nil
}

// ExplainKey gives the proof of a figure of a batch, down to a depth; a negative
// depth opens everything.
func (s *Service) ExplainKey(ctx context.Context, mix []estimate.MixLine, day bom.Date, key string, depth int) (proof.Step, answer.Version, error) {
	sheet, version, err := s.Sheet(ctx, mix, day)
	if err != nil {
		return proof.Step{}, "", err
	}
	step, err := sheet.Explain(key, depth)
	return step, version, unknownKey(err)
}

// Sheet gives a batch for looking up.
func (s *Service) Sheet(ctx context.Context, mix []estimate.MixLine, day bom.Date) (*answer.Sheet, answer.Version, error) {
	o, err := s.Origin(ctx)
	if err != nil {
		return nil, "", err
	}
	sheet, err := o.Sheet(ctx, mix, day)
	return sheet, o.Version, err
}

// unknownKey words that a figure does not exist.
func unknownKey(err error) error {
	var unknown *answer.UnknownKeyError
	if !errors.As(err, &unknown) {
		return answer.Unexpected(err)
	}
	short := answer.UnknownKeyError{Key: bom.Shorten(unknown.Key), Similar: unknown.Similar}
	return &answer.Error{Code: answer.NotFound, Message: short.Error()}
}
