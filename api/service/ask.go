package service

import (
	"context"
	"errors"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph/proof"
)

// asked puts a question to the stored book; NotFound if there is none. It gives the
// version that the answer is of.
func asked[T any](ctx context.Context, s *Service, ask func(change.Origin) (T, error)) (out T, v answer.Version, err error) {
	o, err := s.Origin(ctx)
	if err != nil {
		return out, "", err
	}
	out, err = ask(o)
	return out, o.Version, err
}

// maxBatches bounds a price list.
const maxBatches = 500

// PriceList prices trims of the stored book.
func (s *Service) PriceList(ctx context.Context, req answer.PriceRequest) (answer.PriceList, answer.Version, error) {
	return asked(ctx, s, func(o change.Origin) (answer.PriceList, error) {
		if n := req.Batches(o.Book); n > maxBatches {
			return answer.PriceList{}, answer.Errorf(answer.TooLarge, "%d batches are asked for; at most %d are priced at once", n, maxBatches)
		}
		return study.PriceList(ctx, o, req)
	})
}

// Estimate gives the figures of a batch.
func (s *Service) Estimate(ctx context.Context, mix []estimate.MixLine, day bom.Date) (answer.Estimate, answer.Version, error) {
	return asked(ctx, s, func(o change.Origin) (answer.Estimate, error) {
		e, err := o.Evaluate(ctx, mix, day)
		if err != nil {
			return answer.Estimate{}, err
		}
		return e.Figures(), nil
	})
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
	return asked(ctx, s, func(o change.Origin) (*answer.Sheet, error) { return o.Sheet(ctx, mix, day) })
}

// Minutes says why the features of a part take the minutes they do in a batch.
func (s *Service) Minutes(ctx context.Context, mix []estimate.MixLine, day bom.Date, part bom.ID) (answer.Minutes, answer.Version, error) {
	return asked(ctx, s, func(o change.Origin) (out answer.Minutes, err error) {
		def, _ := o.Book.Part(part)
		if def == nil {
			return out, answer.Errorf(answer.NotFound, "the book has no part %s", bom.Shorten(string(part)))
		}
		sheet, err := o.Sheet(ctx, mix, day)
		if err != nil {
			return out, err
		}
		return answer.MinutesOf(o.Book, def, sheet), nil
	})
}

// Band says between what amounts a piece of a part may cost, and what would narrow that.
func (s *Service) Band(ctx context.Context, req study.BandRequest) (study.Band, answer.Version, error) {
	return asked(ctx, s, func(o change.Origin) (study.Band, error) { return study.DrawBand(ctx, o, req) })
}

// CostWorkbook writes the whole cost model of a batch as a workbook of live formulas.
func (s *Service) CostWorkbook(ctx context.Context, mix []estimate.MixLine, day bom.Date) ([]byte, answer.Version, error) {
	return asked(ctx, s, func(o change.Origin) ([]byte, error) { return o.CostWorkbook(ctx, mix, day) })
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

// AskedPrices lists the prices asked today of all trims, in the usual batch of each product or
// in the quantity given.
func (s *Service) AskedPrices(ctx context.Context, quantity *bom.Number) ([]answer.AskedPrice, error) {
	out, _, err := asked(ctx, s, func(o change.Origin) ([]answer.AskedPrice, error) { return o.AskedPrices(ctx, s.Today(), quantity) })
	return out, err
}
