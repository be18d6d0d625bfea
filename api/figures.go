package api

import (
	"context"
	"fmt"
	"net/http"
	"reflect"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph/proof"
)

// The most that one request may ask to be computed.
const (
	maxEstimates  = 200 // trims × quantities of a price list
	maxQuantities = 50
	maxMix        = 100
	maxChanges    = 100
)

// PriceListRequest asks for prices of trims at batch quantities.
type PriceListRequest struct{ answer.PriceRequest }

// EstimateRequest asks for the figures of a batch.
type EstimateRequest struct {
	Day bom.Date           `book:"day"`
	Mix []estimate.MixLine `book:"mix,required"`
}

// ProofRequest asks for the reasons behind a figure of a batch.
type ProofRequest struct {
	Day   bom.Date           `book:"day"`
	Mix   []estimate.MixLine `book:"mix,required"`
	Key   string             `book:"key,required"`
	Depth *int               `book:"depth,min=-1,max=1000"` // 3 if absent; -1 opens all
}

// WhatIfRequest asks what changed inputs, or a scenario that is kept, would do to a batch.
type WhatIfRequest struct {
	Day      bom.Date           `book:"day"`
	Mix      []estimate.MixLine `book:"mix,required"`
	Changes  []change.Change    `book:"changes"`
	Scenario string             `book:"scenario"` // name, in the place of changes
}

// ChangeRequest asks to write changed inputs into the book: those of a batch, or
// without one of any trim today; or, in a batch, those of a scenario that still apply.
type ChangeRequest struct {
	Day      bom.Date           `book:"day"`
	Mix      []estimate.MixLine `book:"mix"`
	Changes  []change.Change    `book:"changes"`
	Scenario string             `book:"scenario"` // name, in the place of changes
}

// changeAnswer is the answer to a change that was made.
type changeAnswer struct {
	Version string          `json:"version" doc:"Of the book, after the change"`
	Lapsed  []change.Lapsed `json:"lapsed,omitempty" doc:"Changes of the scenario that apply no longer and were not written"`
}

const defaultDepth = 3

func (a *API) figureRoutes() {
	question(a, "/price-lists", "price-list", "Prices of trims at batch quantities", a.priceList)
	question(a, "/estimates", "estimate", "All figures of a batch", a.estimate)
	question(a, "/proofs", "proof", "How a figure of a batch was made, and from what", a.proof)
	whatIf := figureRoute[WhatIfRequest, change.WhatIf](a, "/what-ifs", "what-if", "A batch before and after changed inputs; nothing is written")
	whatIf.figure = false // asked once each
	add(a, whatIf, reading(a.whatIf))
	altered := figureRoute[ChangeRequest, changeAnswer](a, "/changes", "apply-change", "Write changed inputs into the book, as the next revisions of their records")
	altered.scope, altered.changes, altered.figure = service.Write, true, false
	altered.about = "If-Match names the version of the book."
	add(a, altered, a.applyChange)
	a.figureQueries()
}

// question registers a question about the stored book whose answer is kept.
func question[In, Out any](a *API, path, id, summary string, compute func(context.Context, In) (Out, answer.Version, error)) {
	add(a, figureRoute[In, Out](a, path, id, summary), func(ctx context.Context, c *call, _ *none) (*reply, error) {
		return computed(a, ctx, c, func() (out Out, of answer.Version, err error) {
			in, err := decode[In](c)
			if err != nil {
				return out, "", err
			}
			return compute(ctx, in)
		})
	})
}

// figureRoute is a question with a body. It changes nothing, though its method
// is POST.
func figureRoute[In, Out any](a *API, path, id, summary string) route {
	return route{method: http.MethodPost, path: Base + path, id: id, tag: "figures", summary: summary, scope: service.Read,
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[Out]())}, figure: true,
		body: &body{schema: a.schemas.Read(reflect.TypeFor[In]()), types: onlyJSON, limit: a.edge.Config.BodyLimit}}
}

// answered answers a question from the cache, if its answer is kept. It comes
// before the parameters are read: what is kept was the answer to the same ones.
func (a *API) answered(c *call) bool {
	version := c.actor.Book
	if version == "" {
		var err error
		if _, version, err = a.service.Book(c.r.Context()); err != nil {
			return false // the handler will meet the same and tell it
		}
	}
	c.bookAt, c.key = version, a.keyOf(c, version)
	kept, ok := a.cache.Peek(c.key)
	if !ok {
		return false
	}
	out := c.tagged(kept.tag, jsonType, kept.body)
	c.w.WriteHeader(out.Status)
	_, _ = c.w.Write(out.Body) // an error here is a client that has gone
	return true
}

// keyOf names an answer. The day is part of it: a request that names none depends
// on it.
func (a *API) keyOf(c *call, version answer.Version) cacheKey {
	return keyOf(string(version), c.r.URL.Path, c.r.URL.RawQuery, string(a.today()), string(c.body))
}

// computed computes an answer and keeps it.
func computed[T any](a *API, ctx context.Context, c *call, compute func() (T, answer.Version, error)) (*reply, error) {
	release, err := a.edge.Place(ctx)
	if err != nil {
		return nil, err
	}
	defer release()
	v, of, err := compute()
	if err != nil {
		return nil, err
	}
	data, err := encode(v)
	if err != nil {
		return nil, err
	}
	if of != c.bookAt { // the book was changed in between
		c.key = a.keyOf(c, of)
	}
	kept := a.keep(c.key, data)
	return c.tagged(kept.tag, jsonType, kept.body), nil
}

// today is the day where a request names none.
func (a *API) today() bom.Date { return a.service.Today() }

// dayIn puts in the day where a request about a book sent along names none.
func (a *API) dayIn(b *book.Book, day *bom.Date) {
	if *day == "" {
		*day = b.TimeZone.Day(a.edge.Config.Now())
	}
}

func (a *API) dayOr(day bom.Date) bom.Date {
	if day == "" {
		return a.today()
	}
	return day
}

func (a *API) priceList(ctx context.Context, in PriceListRequest) (list answer.PriceList, of answer.Version, err error) {
	if err := in.check("/quantities"); err != nil {
		return list, "", err
	}
	return a.service.PriceList(ctx, a.priceRequest(in))
}

func (a *API) priceRequest(in PriceListRequest) answer.PriceRequest {
	in.Day = a.dayOr(in.Day)
	return in.PriceRequest
}

// check keeps what is computed within bounds.
func (in PriceListRequest) check(at string) error {
	var f faults
	if len(in.Quantities) > maxQuantities {
		f.add(at, "%d quantities; at most %d are priced at once", len(in.Quantities), maxQuantities)
	}
	if n := (len(in.Trims) + len(in.Parts)) * len(in.Quantities); n > maxEstimates {
		f.add(at, "%d prices; at most %d are computed at once", n, maxEstimates)
	}
	return f.err("more is asked for than is computed at once")
}

func (a *API) estimate(ctx context.Context, in EstimateRequest) (out answer.Estimate, of answer.Version, err error) {
	if err := checkMix(in.Mix, "/mix"); err != nil {
		return out, "", err
	}
	return a.service.Estimate(ctx, in.Mix, a.dayOr(in.Day))
}

func (a *API) proof(ctx context.Context, in ProofRequest) (step proof.Step, of answer.Version, err error) {
	if err := checkMix(in.Mix, "/mix"); err != nil {
		return step, "", err
	}
	return a.service.ExplainKey(ctx, in.Mix, a.dayOr(in.Day), in.Key, depthOr(in.Depth))
}

func depthOr(depth *int) int {
	if depth == nil {
		return defaultDepth
	}
	return *depth
}

func (a *API) whatIf(ctx context.Context, c *call, in WhatIfRequest) (*reply, error) {
	if err := checkChanges(in.Mix, in.Changes, in.Scenario); err != nil {
		return nil, err
	}
	if in.Scenario != "" {
		kept, err := a.service.Scenario(ctx, in.Scenario)
		if err != nil {
			return nil, err
		}
		return c.answer(a.service.WhatIfOf(ctx, in.Mix, a.dayOr(in.Day), kept.Changes))
	}
	out, err := a.service.WhatIf(ctx, in.Mix, a.dayOr(in.Day), in.Changes)
	return c.answer(out, below("/changes", err))
}

func (a *API) applyChange(ctx context.Context, c *call, _ *none) (*reply, error) {
	version, err := c.version()
	if err != nil {
		return nil, err
	}
	in, err := decode[ChangeRequest](c)
	if err != nil {
		return nil, err
	}
	if err := checkChanges(in.Mix, in.Changes, in.Scenario); err != nil {
		return nil, err
	}
	var lapsed []change.Lapsed
	if in.Scenario != "" {
		version, lapsed, err = a.service.TakeOver(ctx, c.actor, in.Mix, a.dayOr(in.Day), in.Scenario, version)
	} else {
		version, err = a.write(ctx, c, in, version)
	}
	if err != nil {
		return nil, below("/changes", err)
	}
	c.w.Header().Set("ETag", edge.ETag(string(version)))
	return c.ok(http.StatusOK, changeAnswer{string(version), lapsed})
}

func (a *API) write(ctx context.Context, c *call, in ChangeRequest, version answer.Version) (answer.Version, error) {
	if len(in.Mix) == 0 {
		return a.service.ApplyChange(ctx, c.actor, in.Changes, version)
	}
	return a.service.ApplyChangeIn(ctx, c.actor, in.Mix, a.dayOr(in.Day), in.Changes, version)
}

func checkMix(mix []estimate.MixLine, at string) error {
	var f faults
	if len(mix) > maxMix {
		f.add(at, "%d lines; at most %d are estimated at once", len(mix), maxMix)
	}
	if err := f.err("more is asked for than is computed at once"); err != nil {
		return err
	}
	for i, l := range mix {
		if err := l.CheckQuantity(); err != nil {
			f.add(fmt.Sprintf("%s/%d/quantity", at, i), "%s", err)
		} else if err := l.Check(); err != nil {
			f.add(fmt.Sprintf("%s/%d", at, i), "%s", err)
		}
	}
	return f.err("a batch is of trims or parts, each in one quantity")
}

func checkChanges(mix []estimate.MixLine, changes []change.Change, scenario string) error {
	if err := checkMix(mix, "/mix"); err != nil {
		return err
	}
	var f faults
	switch {
	case (len(changes) == 0) == (scenario == ""):
		f.add("/changes", "name either changes or a scenario")
	case scenario != "" && len(mix) == 0:
		f.add("/mix", "name the batch in which the scenario is to be taken over")
	}
	if err := f.err("what is to change is not said"); err != nil {
		return err
	}
	if len(changes) > maxChanges {
		f.add("/changes", "%d changes; at most %d are made at once", len(changes), maxChanges)
	}
	return f.err("more is asked for than is computed at once")
}
