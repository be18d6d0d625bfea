package api

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"reflect"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph/proof"
)

// strays lists what a query holds beyond the parameters of an operation, or twice.
func strays(query string, op *huma.Operation) faults {
	if query == "" {
		return nil
	}
	var f faults
	values, err := url.ParseQuery(query)
	if err != nil {
		f.parameter("", "the query cannot be read")
	}
	for name, given := range values {
		known := slices.ContainsFunc(op.Parameters, func(p *huma.Param) bool { return p.In == "query" && p.Name == name })
		switch {
		case !known:
			f.parameter(bom.Shorten(name), "there is no such parameter here")
		case len(given) > 1:
			f.parameter(name, "given twice")
		}
	}
	slices.SortFunc(f, func(a, b edge.Field) int { return strings.Compare(a.Parameter, b.Parameter) })
	return f
}

// priceQuery is a price list asked for in the query.
type priceQuery struct {
	Day          string `query:"day" doc:"YYYY-MM-DD; today if absent"`
	Trims        string `query:"trims" maxLength:"4000" doc:"Trims, separated by commas; all if absent"`
	Parts        string `query:"parts" maxLength:"4000" doc:"Parts to price alone, without product or trim, separated by commas"`
	Margin       string `query:"margin" maxLength:"40" doc:"Margin asked of the parts as a share, such as 0.4; that of each channel if absent"`
	Destinations string `query:"destinations" maxLength:"4000" doc:"Places that the parts are sold in, such as DE,CH, separated by commas; none if absent"`
	Chances      bool   `query:"chances" doc:"How likely each price of the parts earns what is wanted"`
	Quantities   string `query:"quantities" required:"true" maxLength:"4000" doc:"Batch quantities, separated by commas"`
	Together     bool   `query:"together" doc:"Price the trims as one batch that shares parts and set-ups"`

	request PriceListRequest
}

// Resolve reads the parameters that are lists, so that their faults are told with
// all others.
func (q *priceQuery) Resolve(huma.Context) []error {
	f := queryFaults{}
	q.request = PriceListRequest{answer.PriceRequest{Day: f.day(q.Day), Together: q.Together, Chances: q.Chances}}
	if q.Quantities != "" {
		q.request.Quantities = f.quantities(q.Quantities)
	}
	if q.Trims != "" {
		q.request.Trims = f.ids("trims", q.Trims)
	}
	if q.Parts != "" {
		q.request.Parts = f.ids("parts", q.Parts)
	}
	if q.Destinations != "" {
		q.request.Destinations = strings.Split(q.Destinations, ",")
	}
	if q.Margin != "" {
		q.request.Margin = f.margin(q.Margin)
	}
	if len(f) == 0 && q.request.check("") != nil {
		f.add("quantities", "at most %d quantities and %d prices are computed at once", maxQuantities, maxEstimates)
	}
	return f
}

// proofQuery is a proof asked for in the query.
type proofQuery struct {
	Mix   string `query:"mix" required:"true" maxLength:"4000" doc:"The batch, such as plain=100,glow+wall=50"`
	Key   string `query:"key" required:"true" maxLength:"400" doc:"Of the figure"`
	Day   string `query:"day" doc:"YYYY-MM-DD; today if absent"`
	Depth int    `query:"depth" minimum:"-1" maximum:"1000" default:"3" doc:"Levels to open; -1 opens all"`

	day bom.Date
}

// minutesQuery is a part of a batch.
type minutesQuery struct {
	ID  string `path:"id" maxLength:"200" doc:"The number of the part"`
	Mix string `query:"mix" required:"true" maxLength:"4000" doc:"The batch, such as plain=100,glow+wall=50"`
	Day string `query:"day" doc:"YYYY-MM-DD; today if absent"`

	day bom.Date
}

// Resolve reads the day.
func (q *minutesQuery) Resolve(huma.Context) []error {
	f := queryFaults{}
	q.day = f.day(q.Day)
	return f
}

// Resolve reads the day.
func (q *proofQuery) Resolve(huma.Context) []error {
	f := queryFaults{}
	q.day = f.day(q.Day)
	return f
}

// queryFaults collects what is wrong with parameters in the form the library
// adds to its own.
type queryFaults []error

func (f *queryFaults) add(name, format string, args ...any) {
	*f = append(*f, &huma.ErrorDetail{Location: "query." + name, Message: fmt.Sprintf(format, args...)})
}

func (f *queryFaults) day(text string) bom.Date {
	if text == "" {
		return ""
	}
	day, err := bom.ParseDate(text)
	if err != nil {
		f.add("day", "%v", err)
	}
	return day
}

func (f *queryFaults) quantities(text string) []decimal.Decimal {
	var out []decimal.Decimal
	for item := range strings.SplitSeq(text, ",") {
		quantity, err := bom.ParseDecimal(strings.TrimSpace(item))
		switch {
		case err != nil:
			f.add("quantities", "%v", err)
		case !quantity.IsPositive():
			f.add("quantities", "%s is not more than 0", quantity)
		}
		out = append(out, quantity)
	}
	return out
}

func (f *queryFaults) margin(text string) *bom.Number {
	share, err := bom.ParseDecimal(text)
	switch {
	case err != nil:
		f.add("margin", "%v", err)
	case share.IsNegative() || !share.LessThan(decimal.New(1, 0)):
		f.add("margin", "%s is not from 0 to below 1", share)
	}
	margin := bom.Exactly(share)
	return &margin
}

func (f *queryFaults) ids(name, text string) []bom.ID {
	var out []bom.ID
	for item := range strings.SplitSeq(text, ",") {
		id, err := bom.ParseID(strings.TrimSpace(item))
		if err != nil {
			f.add(name, "%v", err)
		}
		out = append(out, id)
	}
	return out
}

// figureQueries are the questions that fit into an address, which can be kept as
// links and answered with 304.
func (a *API) figureQueries() {
	list := answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[answer.PriceList]()), cached: true}
	step := answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[proof.Step]()), cached: true}
	add(a, route{method: http.MethodGet, path: Base + "/price-lists", id: "get-price-list", tag: "figures", scope: service.Read,
		summary: "Prices of trims at batch quantities", figure: true, returns: list}, a.priceListQuery)
	add(a, route{method: http.MethodGet, path: Base + "/prices-asked", id: "get-prices-asked", tag: "figures", scope: service.Prices,
		summary: "What is asked today for a piece of each trim in each channel; nothing in it tells what it costs",
		returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[askedOut]())}}, a.pricesAsked)
	add(a, route{method: http.MethodGet, path: Base + "/proofs", id: "get-proof", tag: "figures", scope: service.Read,
		summary: "How a figure of a batch was made, and from what", figure: true, returns: step}, a.proofQuery)
	minutes := answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[answer.Minutes]()), cached: true}
	add(a, route{method: http.MethodGet, path: Base + "/parts/{id}/minutes", id: "get-part-minutes", tag: "figures", scope: service.Read,
		summary: "Why the features of a part take the minutes they do in a batch: tool, spindle, feed, passes, path, limits, and the tools that came next", figure: true, returns: minutes}, a.minutesQuery)
}

func (a *API) priceListQuery(ctx context.Context, c *call, in *priceQuery) (*reply, error) {
	return computed(a, ctx, c, func() (answer.PriceList, answer.Version, error) {
		return a.service.PriceList(ctx, a.priceRequest(in.request))
	})
}

func (a *API) proofQuery(ctx context.Context, c *call, in *proofQuery) (*reply, error) {
	return computed(a, ctx, c, func() (step proof.Step, of answer.Version, err error) {
		mix, err := a.mix(ctx, in.Mix)
		if err != nil {
			return step, "", err
		}
		return a.service.ExplainKey(ctx, mix, a.dayOr(in.day), in.Key, in.Depth)
	})
}

func (a *API) minutesQuery(ctx context.Context, c *call, in *minutesQuery) (*reply, error) {
	return computed(a, ctx, c, func() (out answer.Minutes, of answer.Version, err error) {
		mix, err := a.mix(ctx, in.Mix)
		if err != nil {
			return out, "", err
		}
		return a.service.Minutes(ctx, mix, a.dayOr(in.day), bom.ID(in.ID))
	})
}

// askedQuery asks for the price list of today.
type askedQuery struct {
	Quantity int64 `query:"quantity" minimum:"1" maximum:"10000000" doc:"Made at once; the usual batch of each product if absent"`
}

type askedOut struct {
	Items []answer.AskedPrice `json:"items"`
}

func (a *API) pricesAsked(ctx context.Context, c *call, in *askedQuery) (*reply, error) {
	var quantity *bom.Number
	if in.Quantity > 0 {
		q := bom.Whole(in.Quantity)
		quantity = &q
	}
	list, err := placed(ctx, a, func() ([]answer.AskedPrice, error) { return a.service.AskedPrices(ctx, quantity) })
	if err != nil {
		return nil, err
	}
	return c.ok(http.StatusOK, askedOut{list})
}

// mix reads the batch of a query.
func (a *API) mix(ctx context.Context, text string) ([]estimate.MixLine, error) {
	b, _, err := a.service.Book(ctx)
	if err != nil {
		return nil, err
	}
	// A plus sign means a space in a query; nobody names a trim with one.
	mix, err := answer.ParseMix(b, strings.ReplaceAll(text, " ", "+"))
	if err != nil {
		return nil, &edge.Refusal{Kind: edge.Invalid, Detail: badParameters, Fields: []edge.Field{{Parameter: "mix", Detail: err.Error()}}}
	}
	return mix, nil
}
