package rates

import (
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/reference"
)

var starterFinishes = reference.Rows[struct {
	Finishes []struct {
		ID        bom.ID     `book:"id,required"`
		Name      string     `book:"name,required"`
		Metals    []string   `book:"metals"`
		Minimum   bom.Number `book:"minimum,required,min=0"`
		AreaPrice bom.Number `book:"price_per_dm2,required,min=0"`
		Finish    FinishKind `book:"finish"`
	} `book:"starter_finishes"`
}]("outside.yaml")

// Finisher is the supplier of the finishes that a shop begins with.
var Finisher = Supplier{ID: "FINISHER", Name: "a finisher, none chosen yet"}

// StarterFinishes are what finishers ask of small lots of a material, for a shop that has
// asked none.
func StarterFinishes(material bom.ID) ([]Process, error) {
	rows, err := starterFinishes()
	if err != nil {
		return nil, err
	}
	guess, err := ReferenceGuess()
	var out []Process
	for i := range rows.Finishes {
		f := &rows.Finishes[i]
		if len(f.Metals) == 0 || slices.ContainsFunc(f.Metals, func(m string) bool { return strings.HasPrefix(string(material), m) }) {
			out = append(out, Process{ID: f.ID, Name: f.Name, Supplier: Finisher.ID, Currency: guess.Materials[0].Currency, Minimum: &f.Minimum, AreaPrice: &f.AreaPrice,
				Finish: f.Finish, Source: "starter " + string(f.ID) + "; " + reference.FromMemory})
		}
	}
	return out, err
}
