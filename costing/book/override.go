package book

import (
	"fmt"
	"regexp"

	"kerfbook/bom"
)

// Override is a number that stands in the place of a computed figure, with the
// reason why. The computed figure is kept and shown beside it.
type Override struct {
	ID bom.ID `book:"id,required"`
	// Figure is the key of the figure, as its proof shows it.
	Figure FigureKey  `book:"figure,required"`
	Value  bom.Number `book:"value,required"`
	// Unit is that of the figure, as its proof shows it: min/piece. It is left
	// out for a plain number.
	Unit   string   `book:"unit"`
	Reason string   `book:"reason,required"`
	From   bom.Date `book:"from,required"`
	// Until is the last day it holds; absent means that it goes on.
	Until bom.Date `book:"until"`
}

// FigureKey is the key of a figure.
type FigureKey string

var figureKeyForm = regexp.MustCompile(`^[A-Za-z0-9._-]+(/[A-Za-z0-9._-]+)*$`)

// CheckText checks the form of a key.
func (FigureKey) CheckText(text string, _ bool) error {
	if len(text) > 200 || !figureKeyForm.MatchString(text) {
		return fmt.Errorf("is no key of a figure such as part/A-10/op/20/piece-time; the proof of a figure shows its key")
	}
	return nil
}

// OverridesOn gives the places in the list of the overrides in force on a day:
// for each figure the latest that has begun and not ended.
func OverridesOn(list []Override, day bom.Date) []int {
	latest := map[FigureKey]int{}
	for i, o := range list {
		if !o.Holds(day) {
			continue
		}
		if at, known := latest[o.Figure]; !known || list[at].From < o.From {
			latest[o.Figure] = i
		}
	}
	var out []int
	for i, o := range list {
		if at, known := latest[o.Figure]; known && at == i {
			out = append(out, i)
		}
	}
	return out
}

// Holds reports whether the override is in force on a day.
func (o *Override) Holds(day bom.Date) bool {
	return o.From <= day && (o.Until == "" || day <= o.Until)
}
