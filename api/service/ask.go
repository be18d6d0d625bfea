package service

import (
	"context"
	"errors"

	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph/proof"
)

// Origin gives the stored book to be asked; NotFound if there is none.
func (s *Service) Origin(ctx context.Context) (Origin, error) {
	held, err := s.current(ctx)
	if err != nil {
		return Origin{}, err
	}
	return s.originOf(held), nil
}

// maxBatches bounds a price list.
const maxBatches = 500

// PriceList prices trims of the stored book.
func (s *Service) PriceList(ctx context.Context, req PriceRequest) (PriceList, Version, error) {
	o, err := s.Origin(ctx)
	if err != nil {
		return PriceList{}, "", err
	}
	if n := req.Batches(o.Book); n > maxBatches {
		return PriceList{}, "", newError(TooLarge, "%d batches are asked for; at most %d are priced at once", n, maxBatches)
	}
	list, err := o.Price(ctx, req)
	return list, o.Version, err
}

// Estimate gives the figures of a batch.
func (s *Service) Estimate(ctx context.Context, mix []estimate.MixLine, day bom.Date) (Estimate, Version, error) {
	o, err := s.Origin(ctx)
	if err != nil {
		return Estimate{}, "", err
	}
	e, err := o.Evaluate(ctx, mix, day)
	if err != nil {
		return Estimate{}, "", err
	}
	return e.figures(), o.Version, nil
}

// ExplainKey gives the proof of a figure of a batch, down to a depth; a negative
// depth opens everything.
func (s *Service) ExplainKey(ctx context.Context, mix []estimate.MixLine, day bom.Date, key string, depth int) (proof.Step, Version, error) {
	sheet, version, err := s.Sheet(ctx, mix, day)
	if err != nil {
		return proof.Step{}, "", err
	}
	step, err := sheet.Explain(key, depth)
	return step, version, unknownKey(err)
}

// Sheet gives a batch for looking up.
func (s *Service) Sheet(ctx context.Context, mix []estimate.MixLine, day bom.Date) (*Sheet, Version, error) {
	o, err := s.Origin(ctx)
	if err != nil {
		return nil, "", err
	}
	sheet, err := o.Sheet(ctx, mix, day)
	return sheet, o.Version, err
}

// unknownKey words that a figure does not exist.
func unknownKey(err error) error {
	var unknown *UnknownKeyError
	if !errors.As(err, &unknown) {
		return internal(err)
	}
	short := UnknownKeyError{bom.Shorten(unknown.Key), unknown.Similar}
	return &Error{Code: NotFound, Message: short.Error()}
}
