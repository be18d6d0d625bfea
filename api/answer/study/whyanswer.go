package study

import (
	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/ask/compare"
)

// Difference says why the figure after differs from the one before. Difference is
// after − before, exactly; what Lines and Shares add to it comes to it to the last
// digit, and their rounded amounts to the difference of the rounded figures.
type Difference struct {
	Version    answer.Version `json:"version,omitempty"` // of the book; empty for a book sent along
	Book       string         `json:"book"`
	Before     SideAnswer     `json:"before"`
	After      SideAnswer     `json:"after"`
	Unit       string         `json:"unit"`
	Difference string         `json:"difference"`
	Rounded    RoundedEnds    `json:"rounded"` // as Lines, Kinds, Things and Shares lead from one to the other
	Same       bool           `json:"same"`    // nothing differs
	Alike      bool           `json:"alike"`   // of the same structure, so that shares are of inputs only
	Lines      []CostLine     `json:"lines"`
	Kinds      []CostStep     `json:"kinds"`  // the lines by kind of cost, in the order of the figure
	Places     []PlaceStep    `json:"places"` // the lines by the place of the product they go to, the largest first
	Things     []CostStep     `json:"things"` // the lines by what they belong to, the largest first
	Shares     []InputShare   `json:"shares"` // the largest first
	Method     SharingMethod  `json:"method"`
}

// SideAnswer is one side of a comparison.
type SideAnswer struct {
	Words    string                 `json:"words"`
	Day      bom.Date               `json:"day"`
	Mix      []answer.MixLine       `json:"mix"`
	Quote    string                 `json:"quote,omitempty"`
	Revision int                    `json:"revision,omitempty"`
	Today    bool                   `json:"today,omitempty"` // what the quote asks for, computed today
	Figure   answer.Figure          `json:"figure"`
	Changes  []change.ChangedFigure `json:"changes,omitempty"`
	Rebuilt  bool                   `json:"rebuilt"` // see WhatIf
}

// RoundedEnds are the figures as they are shown, to the smallest coin, and their
// difference. All is empty where the figure is no money.
type RoundedEnds struct {
	Before     string `json:"before"`
	After      string `json:"after"`
	Difference string `json:"difference"`
}

// RoundedAmount is an amount to the smallest coin, what is reached with it on the
// way from one figure to the other, and its share of the difference in percent.
type RoundedAmount struct {
	Amount  string `json:"amount"`
	Level   string `json:"level"`
	Percent string `json:"percent"` // empty where the difference is nothing
}

// What happens to a line, in words.
const (
	LineStays    = string(compare.Stays)
	LineAppears  = string(compare.Appears)
	LineVanishes = string(compare.Vanishes)
)

// CostLine is one line of the figure, exactly. Before or After is empty on the
// side that does not have it.
type CostLine struct {
	Kind    FigureName    `json:"kind"`  // of cost
	Thing   FigureName    `json:"thing"` // a part, a variant
	Name    FigureName    `json:"name"`
	Change  string        `json:"change"` // stays, changes, appears, vanishes
	Before  string        `json:"before"`
	After   string        `json:"after"`
	Amount  string        `json:"amount"` // that it adds to the difference
	Rounded RoundedAmount `json:"rounded"`
	Alike   bool          `json:"alike"` // of the same structure on both sides
}

// CostStep is what several lines add to the difference together. The key is empty
// for those that are pooled at the end.
type CostStep struct {
	Name    FigureName    `json:"name"`
	Change  string        `json:"change"`
	Count   Pieces        `json:"lines"`
	Amount  string        `json:"amount"`
	Rounded RoundedAmount `json:"rounded"`
}

// PlaceStep is the same of a place, with what stands there on each side. The last are the
// places that cost the same, together.
type PlaceStep struct {
	CostStep
	Before        string `json:"before"` // empty where that side has nothing there
	After         string `json:"after"`
	RoundedBefore string `json:"rounded_before"`
	RoundedAfter  string `json:"rounded_after"`
}

// What a share is of, in words.
const (
	ShareOfInput = string(compare.OfInput)
	ShareOfLine  = string(compare.OfLine)
	ShareOfAll   = string(compare.OfAll)
)

// InputShare is what a changed input or decision accounts for, a line without
// partner, or all changed inputs where they cannot be told apart.
type InputShare struct {
	Kind         string        `json:"kind"`
	Before       answer.Figure `json:"before,omitzero"` // of an input or decision
	After        answer.Figure `json:"after,omitzero"`
	BeforeChosen string        `json:"before_chosen,omitempty"`
	AfterChosen  string        `json:"after_chosen,omitempty"`
	Line         *FigureName   `json:"line,omitempty"`
	Inputs       []FigurePair  `json:"inputs,omitempty"`
	Amount       string        `json:"amount"`
	Rounded      RoundedAmount `json:"rounded"`
}

// FigurePair is a figure on both sides.
type FigurePair struct {
	Before answer.Figure `json:"before"`
	After  answer.Figure `json:"after"`
}

// SharingMethod says how the shares of inputs were found.
type SharingMethod struct {
	Rule        string `json:"rule"` // no inputs, Shapley, Aumann-Shapley, together
	Inputs      Pieces `json:"inputs"`
	Evaluations Pieces `json:"evaluations"`
	Pieces      Pieces `json:"pieces"`    // the way was cut into
	Settled     bool   `json:"settled"`   // the last doubling of the pieces moved no share by more than Tolerance
	Tolerance   string `json:"tolerance"` // of the largest share or the difference
	Moved       string `json:"moved"`
	Reason      string `json:"reason,omitempty"` // why shares could not be told apart
}
