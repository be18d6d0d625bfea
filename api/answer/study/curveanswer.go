package study

import (
	"fmt"
	"strconv"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
)

// Pieces is a number of whole pieces, written as text as all quantities are.
type Pieces int64

// MarshalText writes the number.
func (p Pieces) MarshalText() ([]byte, error) { return strconv.AppendInt(nil, int64(p), 10), nil }

// UnmarshalText reads the number.
func (p *Pieces) UnmarshalText(text []byte) error {
	n, err := strconv.ParseInt(string(text), 10, 64)
	if err != nil {
		return fmt.Errorf("%q is no whole number of pieces", bom.Shorten(string(text)))
	}
	*p = Pieces(n)
	return nil
}

// BatchCurves are one or two figures against the batch quantity.
type BatchCurves struct {
	Version  answer.Version `json:"version,omitempty"` // of the book; empty for a book sent along
	Book     string         `json:"book"`
	Day      bom.Date       `json:"day"`
	Currency string         `json:"currency"`
	From     Pieces         `json:"from"`
	To       Pieces         `json:"to"`
	Quantity Pieces         `json:"quantity"` // of the batch that is to pay back
	Curves   []BatchCurve   `json:"curves"`
	Crossing *CurveDuel     `json:"crossing,omitempty"` // of two
}

// BatchCurve is a figure of one variant against its batch quantity.
type BatchCurve struct {
	Product bom.ID                 `json:"product"`
	Trim    string                 `json:"trim"`
	Part    bom.ID                 `json:"part,omitempty" doc:"Of a part alone, which has no product"`
	Name    string                 `json:"name"`
	Figure  answer.Figure          `json:"figure"` // at the quantity of the batch
	Flat    bool                   `json:"flat"`   // it does not rest on the quantity
	Changes []change.ChangedFigure `json:"changes,omitempty"`
	Rebuilt bool                   `json:"rebuilt"` // see WhatIf
	// Runs are the stretches without a step, within which points may be joined.
	Runs   []CurveRun `json:"runs"`
	Points []CurveAt  `json:"points"` // between the ends of runs thinned out where there are very many
	Marks  []CurveAt  `json:"marks"`  // exact
	// Breaks are the places where the figure steps, those with the largest effect
	// if there are more than are shown.
	Breaks    []CurveBreak `json:"breaks"`
	AllBreaks Pieces       `json:"all_breaks"`
	Counted   []CurveCount `json:"counted_steps"` // piece by piece: the grain of the curve
	Least     CurveLeast   `json:"least"`
	Settles   *CurveAt     `json:"settles,omitempty" doc:"From where on a further doubling within the range saves less than 5 % of it; absent where each saves more"`
	// Advice is absent where the range does not reach a tenth of the batch to both sides.
	Advice   *BatchAdvice     `json:"advice,omitempty"`
	PayBack  []PayBack        `json:"pay_back"` // per channel
	Findings []answer.Finding `json:"findings"`
}

// FigureName names a figure whose value does not matter.
type FigureName struct {
	Key   string `json:"key"`
	Label string `json:"label"`
	Of    string `json:"of,omitempty"`
	Unit  string `json:"unit,omitempty"`
}

// CurveRun is a stretch of quantities, both ends included.
type CurveRun struct {
	From Pieces `json:"from"`
	To   Pieces `json:"to"`
	// Counted says that something is counted piece by piece within, so that the
	// points are not to be joined.
	Counted bool `json:"counted"`
}

// CurveAt is the figure at one quantity: exact, or for drawing.
type CurveAt struct {
	Quantity Pieces `json:"quantity"`
	Value    string `json:"value"`
	Exact    bool   `json:"exact"`
}

// CurveBreak is a place where the figure steps. All amounts are exact; Effect is
// what the batch costs beyond what it would without the step, in money.
type CurveBreak struct {
	UpTo    Pieces      `json:"up_to"` // the last quantity before
	From    Pieces      `json:"from"`  // the first after
	Before  string      `json:"before"`
	After   string      `json:"after"`
	Effect  string      `json:"effect"`
	Causes  []CurveStep `json:"causes"`
	Follows []CurveStep `json:"follows"` // what steps because of the causes
}

// CurveStep is one figure that steps.
type CurveStep struct {
	Figure FigureName  `json:"figure"`
	Words  string      `json:"words"`
	Was    string      `json:"was"`
	Is     string      `json:"is"`
	Took   *FigureName `json:"took,omitempty"` // of a choice: what it took its value from
	Takes  *FigureName `json:"takes,omitempty"`
	Effect string      `json:"effect,omitempty"` // of a cause
}

// CurveCount is a step that is no break because it steps all the time.
type CurveCount struct {
	Figure  FigureName `json:"figure"`
	Changes Pieces     `json:"changes"`
}

// CurveLeast is where the figure is least, exactly. Below and Above are its
// neighbours, empty outside the range.
type CurveLeast struct {
	Quantity Pieces `json:"quantity"`
	Value    string `json:"value"`
	Below    string `json:"below,omitempty"`
	Above    string `json:"above,omitempty"`
	Flat     bool   `json:"flat"`
}

// PayBack says what pays the batch back in one channel, exactly.
type PayBack struct {
	Channel bom.ID        `json:"channel"`
	Unit    string        `json:"unit"`
	Asked   answer.Figure `json:"price_asked"`
	// Free is the price at which nothing is earned, before the price point; empty
	// for a price entered by hand. Point is the same at the price points; empty
	// where no price pays the batch back.
	Free  string `json:"pays_at,omitempty"`
	Point string `json:"pays_at_price_point,omitempty"`
	// Sell is how many pieces sold at the price asked pay the batch back; empty
	// where no number does.
	Sell string `json:"pieces_to_sell,omitempty"`
	Pays bool   `json:"pays_back"` // the batch has so many pieces
	Why  string `json:"why_not,omitempty"`
}

// CurveDuel says which of two figures is the lower one where.
type CurveDuel struct {
	Stretches []CurveStretch  `json:"stretches"`
	Crossings []CurveCrossing `json:"crossings"`
}

// Which of two figures is lower, in words.
const (
	LowerFirst  = "first"
	LowerSecond = "second"
	LowerEqual  = "equal"
)

// CurveStretch is quantities over which one figure is the lower one: first,
// second, or equal.
type CurveStretch struct {
	From  Pieces `json:"from"`
	To    Pieces `json:"to"`
	Lower string `json:"lower"`
}

// CurveCrossing is where the order changes. Level is the quantities, if any, at
// which both are equal.
type CurveCrossing struct {
	UpTo    Pieces       `json:"up_to"`
	From    Pieces       `json:"from"`
	Before  string       `json:"before"`
	After   string       `json:"after"`
	Touches bool         `json:"touches"` // they meet, and part as they came
	Level   *CurveRun    `json:"level,omitempty"`
	Values  [2]CurvePair `json:"values"` // at UpTo and From, exactly
}

// CurvePair is both figures at one quantity.
type CurvePair struct {
	Quantity Pieces `json:"quantity"`
	First    string `json:"first"`
	Second   string `json:"second"`
}
