package study

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
)

// Spread says how sure figures of a batch are and what moves them.
type Spread struct {
	Version  answer.Version   `json:"version,omitempty"` // of the book; empty for a book sent along
	Book     string           `json:"book"`
	Day      bom.Date         `json:"day"`
	Currency string           `json:"currency"`
	Mix      []answer.MixLine `json:"mix"`
	Seed     uint64           `json:"seed"`
	Draws    int              `json:"draws"` // made; 0 where no input is a range
	// PrecisionReached is left out where no precision was asked for.
	PrecisionReached *bool                  `json:"precision_reached,omitempty"`
	Hindsight        bool                   `json:"hindsight"`
	Changes          []change.ChangedFigure `json:"changes,omitempty"`
	Rebuilt          bool                   `json:"rebuilt"` // see WhatIf
	Inputs           []VaryingInput         `json:"inputs"`
	// Held are the decisions and prices held at what they are for the likely
	// values, Free the decisions that followed each draw.
	Held     []HeldChoice     `json:"held"`
	Free     []HeldChoice     `json:"free"`
	Figures  []SpreadFigure   `json:"figures"`
	Channels []ChannelChance  `json:"channels"`
	Movers   Movers           `json:"movers"`
	Findings []answer.Finding `json:"findings"`
}

// VaryingInput is an input that is a range; the value of its figure is the likely
// one.
type VaryingInput struct {
	Input     answer.Figure `json:"input"`
	Low       string        `json:"low"`
	High      string        `json:"high"`
	Shape     string        `json:"shape"`                        // triangular, pert, uniform, normal
	Deviation string        `json:"standard_deviation,omitempty"` // of shape normal, before it is cut off
	Group     bool          `json:"correlated"`                   // with another one
}

// HeldChoice is a decision with what was chosen, in words where there are some.
type HeldChoice struct {
	Figure answer.Figure `json:"figure"`
	Choice string        `json:"choice,omitempty"`
}

// SpreadFigure is how the draws of one figure are spread.
type SpreadFigure struct {
	Figure    answer.Figure   `json:"figure"` // the exact value, with every input at its likely value
	Varies    bool            `json:"varies"`
	Mean      Statistic       `json:"mean"`
	Deviation Statistic       `json:"standard_deviation"`
	Quantiles []QuantileValue `json:"quantiles"` // of 5, 10, 50, 80, 90 and 95 %
	Lowest    string          `json:"lowest"`    // drawn
	Highest   string          `json:"highest"`
	Histogram Bins            `json:"histogram"`
	Curve     []CurvePoint    `json:"cumulative_curve"`
	Undefined int             `json:"draws_without_value"` // left out of all else
}

// QuantileValue is the value that a share of the draws does not exceed.
type QuantileValue struct {
	Share string `json:"share"` // 0.8 for P80
	Statistic
}

// Bins count draws: bin i from edge i up to, but without, edge i+1; the last with
// its upper edge.
type Bins struct {
	Edges  []string `json:"edges"`
	Counts []int    `json:"counts"`
}

// CurvePoint is a share of the draws that do not exceed a value.
type CurvePoint struct {
	Value string `json:"value"`
	Share string `json:"share"`
}

// ChannelChance says of a variant in a channel how sure the margin, or markup,
// wanted is.
type ChannelChance struct {
	Trim    string        `json:"trim"`
	Channel bom.ID        `json:"channel"`
	Unit    string        `json:"unit"`
	Wanted  answer.Figure `json:"wanted"` // margin or markup wanted, a share
	Asked   answer.Figure `json:"price_asked"`
	// Why says why there are no chances; the rest is empty then.
	Why string `json:"why_no_chance,omitempty"`
	// Chance that what is wanted is met at the price asked.
	Chance *Statistic `json:"chance,omitempty"`
	// At are the chances at the prices asked about.
	At []ChanceAtPrice `json:"chance_at,omitempty"`
	// Prices meet what is wanted with a chance: 50, 80, 90, 95 % and those asked
	// about.
	Prices []PriceAtChance `json:"price_at_chance,omitempty"`
}

// ChanceAtPrice is the chance that what is wanted is met at a price.
type ChanceAtPrice struct {
	Price  string    `json:"price"`
	Chance Statistic `json:"chance"`
}

// PriceAtChance is the price at which what is wanted is met with a chance.
type PriceAtChance struct {
	Chance string    `json:"chance"`
	Price  Statistic `json:"price"` // before the price point
	// Point is the smallest price point not below it; empty where the price is
	// entered by hand.
	Point string `json:"price_point,omitempty"`
}

// Movers rank the inputs by what they do to one figure.
type Movers struct {
	Figure  answer.Figure   `json:"figure"`
	Tornado []Swing         `json:"tornado"` // the widest first
	Shares  []VarianceShare `json:"shares"`  // the largest total first
	// Draws in each of the two samples behind the shares, and how many of all had
	// no value. No draws where a single input, or group, has all of the variance,
	// which needs no estimate.
	ShareDraws int `json:"share_draws"`
	Undefined  int `json:"draws_without_value"`
}

// Swing is the figure with one input at its P10 and at its P90, the others at
// their likely values. FigureAtP10, FigureAtP90 and Swing are exact, empty where
// the figure has no value.
type Swing struct {
	Input       answer.Figure `json:"input"`
	P10         string        `json:"p10"`
	P90         string        `json:"p90"`
	FigureAtP10 string        `json:"figure_at_p10"`
	FigureAtP90 string        `json:"figure_at_p90"`
	Swing       string        `json:"swing"`
	Correlated  bool          `json:"correlated"` // moves with others in the draws, but not here
}

// VarianceShare is how much of the variance of the figure is due to an input, or
// to inputs that are correlated, together. First is what would go if they were
// known, Total what would stay if all others were. Each is estimated by itself, so
// that a sampling error may leave First above Total, or either outside 0 to 1.
type VarianceShare struct {
	Inputs []answer.Figure `json:"inputs"`
	Others bool            `json:"others"` // all but those with the 20 widest swings, together
	First  Statistic       `json:"first_order"`
	Total  Statistic       `json:"total"`
	// NearZero says that the total does not differ from 0 by more than two
	// standard errors.
	NearZero bool `json:"near_zero"`
}

// usualChances are those that prices are given for without being asked.
var usualChances = []decimal.Decimal{decimal.New(5, -1), decimal.New(8, -1), decimal.New(9, -1), decimal.New(95, -2)}

// Name names an input or several, each as told.
func (s VarianceShare) Name(told func(answer.Figure) string) string {
	if s.Others {
		return fmt.Sprintf("%d others together", len(s.Inputs))
	}
	var names []string
	for _, in := range s.Inputs {
		names = append(names, told(in))
	}
	return strings.Join(names, " together with ")
}
