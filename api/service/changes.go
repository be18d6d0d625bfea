package service

import (
	"context"
	"slices"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/bom"
	"kerfbook/bom/solid"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/papers/table"
)

// WhatIf gives a batch of the stored book before and after changes of its inputs;
// nothing is written.
func (s *Service) WhatIf(ctx context.Context, mix []estimate.MixLine, day bom.Date, changes []change.Change) (change.WhatIf, error) {
	out, _, err := asked(ctx, s, func(o change.Origin) (change.WhatIf, error) { return o.WhatIf(ctx, mix, day, changes) })
	return out, err
}

// WhatIfOf gives it before and after a scenario, as far as that still applies.
func (s *Service) WhatIfOf(ctx context.Context, mix []estimate.MixLine, day bom.Date, scenario []change.Proposed) (change.WhatIf, error) {
	out, _, err := asked(ctx, s, func(o change.Origin) (change.WhatIf, error) { return o.WhatIfOf(ctx, mix, day, scenario) })
	return out, err
}

// SheetWith gives a batch as it would be after changes that nothing has been done
// about.
func (s *Service) SheetWith(ctx context.Context, mix []estimate.MixLine, day bom.Date, changes []change.Change) (*answer.Sheet, error) {
	out, _, err := asked(ctx, s, func(o change.Origin) (*answer.Sheet, error) { return o.SheetWith(ctx, mix, day, changes) })
	return out, err
}

// demand names the call-outs of a part in a batch.
type demand struct {
	answer.Key
	part bom.ID
}

// CallOuts compares the demands of a part's drawing, from memory if it can.
func (s *Service) CallOuts(ctx context.Context, mix []estimate.MixLine, day bom.Date, part bom.ID) (change.CallOuts, error) {
	found, _, err := asked(ctx, s, func(o change.Origin) (change.CallOuts, error) {
		return s.memory.demands.Get(ctx, demand{o.Key(mix, day), part}, func() (change.CallOuts, error) {
			return o.CallOuts(ctx, mix, day, part)
		})
	})
	found.List = slices.Clone(found.List)
	return found, err
}

// SpreadChoices lists what can be asked about a batch of the stored book. Nothing
// is drawn.
func (s *Service) SpreadChoices(ctx context.Context, b change.Batch) (study.SpreadChoices, error) {
	out, _, err := asked(ctx, s, func(o change.Origin) (study.SpreadChoices, error) { return study.ChoicesOf(ctx, o, b) })
	return out, err
}

// Curve draws figures of the stored book against the batch quantity. Of those who
// ask the same at once one works it out; nobody may change the answer.
func (s *Service) Curve(ctx context.Context, req study.CurveRequest) (study.BatchCurves, answer.Version, error) {
	return asked(ctx, s, func(o change.Origin) (study.BatchCurves, error) {
		id, _, err := questionID(o.Version, req)
		if err != nil {
			return study.BatchCurves{}, err
		}
		return s.memory.curves.Get(ctx, id, func() (study.BatchCurves, error) { return study.Curves(ctx, o, req) })
	})
}

// Chances says how likely the prices of a batch of the stored book meet what is wanted.
func (s *Service) Chances(ctx context.Context, b change.Batch) ([]study.ChannelChance, error) {
	out, _, err := asked(ctx, s, func(o change.Origin) ([]study.ChannelChance, error) {
		id, _, err := questionID(o.Version, b)
		if err != nil {
			return nil, err
		}
		return s.memory.chances.Get(ctx, id, func() ([]study.ChannelChance, error) { return study.Chances(ctx, o, b) })
	})
	return out, err
}

// Difference compares sides of the stored book and of stored quotes.
func (s *Service) Difference(ctx context.Context, req study.DifferenceRequest) (study.Difference, answer.Version, error) {
	return asked(ctx, s, func(o change.Origin) (study.Difference, error) {
		return study.Between(ctx, o, req, func(ctx context.Context, o change.Origin, side study.DifferenceSide) (*study.SideFigures, error) {
			kept, err := s.Quote(ctx, side.Quote, side.Revision)
			if err != nil {
				return nil, err
			}
			return kept.Side(o.Book, s.Today(), side)
		})
	})
}

// ApplyChange writes changed inputs into the records they come from, as the next
// revisions. Keys are looked for in today's estimates of every trim. ifMatch is
// the version of the book.
func (s *Service) ApplyChange(ctx context.Context, a Actor, changes []change.Change, ifMatch answer.Version) (answer.Version, error) {
	today := s.Today()
	return s.apply(ctx, a, changes, ifMatch, func(held *change.Shelf) ([]*graph.Graph, error) {
		return s.originOf(held).GraphsWith(ctx, changes, today)
	})
}

// ApplyChangeIn does the same for the inputs of one batch on a day, as WhatIf
// showed it.
func (s *Service) ApplyChangeIn(ctx context.Context, a Actor, mix []estimate.MixLine, day bom.Date, changes []change.Change, ifMatch answer.Version) (answer.Version, error) {
	return s.apply(ctx, a, changes, ifMatch, func(held *change.Shelf) ([]*graph.Graph, error) {
		e, err := s.originOf(held).Evaluate(ctx, mix, day)
		if err != nil {
			return nil, err
		}
		return []*graph.Graph{e.Estimate.Graph}, nil
	})
}

func (s *Service) apply(ctx context.Context, a Actor, changes []change.Change, ifMatch answer.Version, graphs func(*change.Shelf) ([]*graph.Graph, error)) (v answer.Version, err error) {
	if err := a.need(Write); err != nil {
		return "", err
	}
	err = s.Update(ctx, func(tx Tx) error {
		held, err := s.begun(ctx, tx)
		if err != nil {
			return err
		}
		if err := change.Matching("the book", held.Version.Figures(), ifMatch.Figures()); err != nil {
			return err
		}
		drafts, err := held.Applied(changes, graphs)
		if err != nil {
			return err
		}
		done, err := s.write(ctx, tx, a, "change", held, held.With(drafts))
		v = done.Version
		return err
	})
	return v, err
}

// Table writes a table of the stored book, and gives the version of what it is of.
func (s *Service) Table(ctx context.Context, of change.TableOf, profile table.Profile) ([]byte, answer.Version, error) {
	held, err := s.current(ctx)
	if err != nil {
		return nil, "", err
	}
	return held.Table(of, profile)
}

// PreviewTable says what a table would add and change. Nothing is written. All that is
// wrong comes back at once: each fault with the line of the file, the number of the cell,
// and the name of the column as its path.
func (s *Service) PreviewTable(ctx context.Context, of change.TableOf, data []byte) (change.TableImport, error) {
	held, err := s.current(ctx)
	if err != nil {
		return change.TableImport{}, err
	}
	return held.Tabled(of, data)
}

// ImportTable takes a table in, as the next revisions of the records that it changes. ifMatch
// is the version of what it is of.
func (s *Service) ImportTable(ctx context.Context, a Actor, of change.TableOf, data []byte, ifMatch answer.Version) (out change.TableImport, err error) {
	if err := a.need(Write); err != nil {
		return out, err
	}
	err = s.Update(ctx, func(tx Tx) error {
		held, err := s.begun(ctx, tx)
		if err != nil {
			return err
		}
		if out, err = held.Tabled(of, data); err != nil {
			return err
		}
		what := "the book"
		if of.Part != "" {
			what = "part " + of.Part
		}
		if err := change.Matching(what, out.Version, ifMatch.Figures()); err != nil {
			return err
		}
		done, err := s.write(ctx, tx, a, "import", held, out.Next)
		if out.Version, out.Written = done.Version.Figures(), true; err == nil && of.Part != "" {
			var stored StoredRecord
			stored, err = tx.Records().Get(ctx, of.Kind.Name, of.Part, 0)
			out.Version = stored.version()
		}
		return err
	})
	return out, err
}

// MeasureModel says what a model file tells of a part. Nothing is written.
func (s *Service) MeasureModel(ctx context.Context, number string, file []byte, unit solid.Unit, allowanceMM decimal.Decimal) (change.Model, error) {
	held, err := s.current(ctx)
	if err != nil {
		return change.Model{}, err
	}
	return held.Modelled(number, file, unit, allowanceMM)
}

// TakeShape takes the shape that a model file told into a part, as the next revision of
// its record. ifMatch is the version of the part.
func (s *Service) TakeShape(ctx context.Context, a Actor, number string, shape change.Shape, ifMatch answer.Version) (answer.Version, error) {
	return s.revise(ctx, a, "change", number, ifMatch, func(held *change.Shelf) (change.Draft, error) { return held.Shaped(number, shape) })
}

// AnswerGuess enters what is said of a part that is guessed at, with what the shop begins
// with so that it can be made, in one save. ifMatch is the version of the part.
func (s *Service) AnswerGuess(ctx context.Context, a Actor, number string, said change.Said, ifMatch answer.Version) (out SaveResult, err error) {
	err = s.Update(ctx, func(tx Tx) error {
		held, err := s.shelf(ctx, tx)
		if err != nil {
			return err
		}
		drafts, err := held.Answered(number, said)
		if err != nil {
			return err
		}
		drafts[0].IfMatch = ifMatch
		out, err = s.SaveIn(ctx, tx, a, drafts)
		return err
	})
	return out, err
}

// revise writes the next revision of a part.
func (s *Service) revise(ctx context.Context, a Actor, action, number string, ifMatch answer.Version, draft func(*change.Shelf) (change.Draft, error)) (v answer.Version, err error) {
	if err := a.need(Write); err != nil {
		return "", err
	}
	err = s.Update(ctx, func(tx Tx) error {
		held, err := s.begun(ctx, tx)
		if err != nil {
			return err
		}
		if _, _, err := held.Part(number); err != nil {
			return err
		}
		d, err := draft(held)
		if err != nil {
			return err
		}
		d.IfMatch = ifMatch
		if err := held.Matches([]change.Draft{d}); err != nil {
			return err
		}
		if _, err := s.write(ctx, tx, a, action, held, held.With([]change.Draft{d})); err != nil {
			return err
		}
		stored, err := tx.Records().Get(ctx, "parts", number, 0)
		v = stored.version()
		return err
	})
	return v, err
}
