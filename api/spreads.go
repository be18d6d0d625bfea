package api

import (
	"context"
	"net/http"
	"reflect"

	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
	"kerfbook/api/service"
	"kerfbook/api/service/runs"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
)

// The most that one spread may ask for.
const (
	maxFigures      = 50
	maxCorrelations = 200
	maxQuestions    = 200
)

// SpreadRequest asks how sure figures of a batch are and what moves them.
type SpreadRequest struct {
	Day          bom.Date                `book:"day"`
	Mix          []estimate.MixLine      `book:"mix,required"`
	Changes      []change.Change         `book:"changes"`
	Figures      []string                `book:"figures"` // keys; costs, prices and margins if absent
	Movers       string                  `book:"movers"`  // key of the figure whose inputs are ranked; the full cost of the first variant if absent
	Draws        *int                    `book:"draws"`   // 20,000 if absent; rounded up to whole blocks of 1,024, at least ten
	Seed         *int                    `book:"seed,min=0,max=9007199254740991"`
	Precision    *study.SpreadPrecision  `book:"precision"`
	Hindsight    bool                    `book:"hindsight"`
	Correlations []study.RankCorrelation `book:"correlations"`
	Prices       []study.PriceQuestion   `book:"prices"`
}

// check keeps what is asked for within bounds; at is the place of the request.
func (in SpreadRequest) check(at string) error {
	if err := checkMix(in.Mix, at+"/mix"); err != nil {
		return err
	}
	var f faults
	for _, list := range []struct {
		name       string
		have, most int
	}{
		{"changes", len(in.Changes), maxChanges}, {"figures", len(in.Figures), maxFigures},
		{"correlations", len(in.Correlations), maxCorrelations}, {"prices", len(in.Prices), maxQuestions},
	} {
		if list.have > list.most {
			f.add(at+"/"+list.name, "%d are given; at most %d are taken at once", list.have, list.most)
		}
	}
	return f.err("more is asked for than is computed at once")
}

// runID names a run in a path.
type runID struct {
	Run string `path:"run" maxLength:"64"`
}

func (a *API) spreadRoutes() {
	answer := a.schemas.Wire(reflect.TypeFor[study.Spread]())
	progress := a.schemas.Wire(reflect.TypeFor[runs.Progress]())
	ask := figureRoute[SpreadRequest, study.Spread](a, "/spreads", "spread", "How sure figures of a batch are, and what moves them")
	ask.figure = false // kept as runs are
	ask.returns.awaited = progress
	ask.about = "The draws begin at once. What takes longer than a second is told with 202 and its place; " +
		"the same question about the same version of the book is the same run. " + drawLimit
	add(a, ask, reading(a.spread))
	add(a, route{method: http.MethodGet, path: Base + "/spreads/{run}", id: "spread-run", tag: "figures", scope: service.Read,
		summary: "A spread that was asked for, or how far it has got",
		returns: answerForm{status: 200, schema: answer, awaited: progress, cached: true}}, a.spreadRun)
	add(a, route{method: http.MethodDelete, path: Base + "/spreads/{run}", id: "cancel-spread", tag: "figures", scope: service.Read,
		summary: "Stop drawing a spread, or forget its answer", about: "A run is no record: it has no versions, and asking again begins it anew.",
		returns: answerForm{status: 204}}, a.cancelSpread)
}

// drawLimit is the bound of simulate, in words.
var drawLimit = "Draws are rounded up to whole blocks of 1,024, to ten of them at least. " + study.DrawLimit

func (a *API) spread(ctx context.Context, c *call, in SpreadRequest) (*reply, error) {
	if err := in.check(""); err != nil {
		return nil, err
	}
	// Only what comes before the draws takes a place here; they wait for their own.
	run, err := placed(ctx, a, func() (*service.SpreadRun, error) { return a.service.Spread(ctx, a.spreadRequest(in)) })
	if err != nil {
		return nil, err
	}
	wait, cancel := context.WithTimeout(ctx, a.patience)
	defer cancel()
	return answerOf(c, run, wait)
}

func (a *API) spreadRun(ctx context.Context, c *call, in *runID) (*reply, error) {
	run, err := a.service.SpreadRun(ctx, in.Run)
	if err != nil {
		return nil, err
	}
	if run.Progress().State == runs.Working {
		return underWay(c, run)
	}
	return answerOf(c, run, ctx)
}

func (a *API) cancelSpread(ctx context.Context, _ *call, in *runID) (*reply, error) {
	if err := a.service.CancelSpread(ctx, in.Run); err != nil {
		return nil, err
	}
	return nothing()
}

// answerOf gives the answer of a run if it is there before wait ends.
func answerOf(c *call, run *service.SpreadRun, wait context.Context) (*reply, error) {
	out, ok, err := run.Wait(wait)
	if err != nil {
		return nil, err
	}
	if !ok {
		return underWay(c, run)
	}
	return c.hashed(out)
}

// underWay tells how far a run has got.
func underWay(c *call, run *service.SpreadRun) (*reply, error) {
	h := c.w.Header()
	h.Set("Location", Base+"/spreads/"+run.ID())
	h.Set("Retry-After", "1")
	h.Set("Cache-Control", "no-store")
	return c.ok(http.StatusAccepted, run.Progress())
}

func (a *API) spreadRequest(in SpreadRequest) study.SpreadRequest {
	out := study.SpreadRequest{Batch: change.Batch{Mix: in.Mix, Day: a.dayOr(in.Day), Changes: in.Changes},
		Figures: in.Figures, Movers: in.Movers, Draws: study.DefaultDraws, Seed: study.DefaultSeed, Hindsight: in.Hindsight,
		Precision: in.Precision, Correlations: in.Correlations, Prices: in.Prices}
	if in.Draws != nil {
		out.Draws = *in.Draws
	}
	if in.Seed != nil {
		out.Seed = uint64(*in.Seed)
	}
	return out
}
