package api

import (
	"kerfbook/api/answer/change"
	"kerfbook/api/answer/study"
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
	Changes      []InputChange           `book:"changes"`
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

func (a *API) spreadRequest(in SpreadRequest) study.SpreadRequest {
	out := study.SpreadRequest{Batch: change.Batch{Mix: in.Mix, Day: a.dayOr(in.Day), Changes: changesOf(in.Changes)},
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
