package recordform

import (
	"reflect"
	"slices"

	"kerfbook/bom"
	"kerfbook/costing/book/field"
	"kerfbook/costing/text"
)

// rankOf says how often a field of a record is filled in, and whether it takes one at all:
// some depend on the word that says what kind of thing the record is.
func rankOf(t reflect.Type, kind string, e field.Entry) (rank field.Rank, takes bool) {
	if kind == "" {
		return e.Rank, true
	}
	switch t {
	case reflect.TypeFor[bom.Feature]():
		needs, uses := bom.FeatureKind(kind).Dimensions()
		return among(needs, uses, everyDimension, e)
	case reflect.TypeFor[bom.Tool]():
		needs, uses := bom.ToolKind(kind).Dimensions()
		return among(needs, uses, toolDimensions, e)
	case reflect.TypeFor[bom.Stock]():
		return among(nil, bom.StockForm(kind).Dimensions(), stockDimensions, e)
	}
	for _, only := range onlyFor {
		if only.of == t && slices.Contains(only.fields, e.Name) {
			switch {
			case !slices.Contains(only.kinds, kind):
				return field.Rare, true
			case e.Shape == text.ShapeRecord || e.Shape == text.ShapeList:
				return field.First, true
			}
		}
	}
	return e.Rank, true
}

// among ranks the dimensions that a kind needs, uses and does not have.
func among(needs, uses, all []string, e field.Entry) (field.Rank, bool) {
	switch {
	case slices.Contains(needs, e.Name):
		return field.First, true
	case !slices.Contains(all, e.Name):
		return e.Rank, true
	}
	return e.Rank, slices.Contains(uses, e.Name)
}

var (
	everyDimension  = dimensionsOf(bom.FeatureKind("").Values(), func(k string) ([]string, []string) { return bom.FeatureKind(k).Dimensions() })
	toolDimensions  = dimensionsOf(bom.ToolKind("").Values(), func(k string) ([]string, []string) { return bom.ToolKind(k).Dimensions() })
	stockDimensions = dimensionsOf(bom.StockForm("").Values(), func(k string) ([]string, []string) { return nil, bom.StockForm(k).Dimensions() })
)

func dimensionsOf(kinds []string, of func(string) (needs, uses []string)) []string {
	var out []string
	for _, k := range kinds {
		needs, uses := of(k)
		out = append(append(out, needs...), uses...)
	}
	return out
}

// onlyFor are fields that only some kinds of a record need; for the others they are rare.
var onlyFor = []struct {
	of            reflect.Type
	kinds, fields []string
}{
	{reflect.TypeFor[bom.Operation](), []string{"machining"}, []string{"features", "cutting_min", "positioning_min", "worn_edge_min", "tool_change_min", "load_min", "load_handling_min", "probing_min", "pieces_per_load", "tools_per_piece", "material"}},
	{reflect.TypeFor[bom.Operation](), []string{"inspection"}, []string{"characteristics", "sampled_share"}},
	{reflect.TypeFor[bom.Operation](), []string{"outside"}, []string{"treatment"}},
	{reflect.TypeFor[bom.Operation](), []string{"machining", "manual", "inspection"}, []string{"work_centre", "setup_min", "piece_min"}},
	{reflect.TypeFor[bom.Operation](), []string{"manual"}, []string{"min_per_dm2", "area_dm2"}},
	{reflect.TypeFor[bom.Part](), []string{"made"}, []string{"blank"}},
	{reflect.TypeFor[bom.Part](), []string{"made", "assembly"}, []string{"routing"}},
	{reflect.TypeFor[bom.Part](), []string{}, []string{"first_guess", "finished"}},
	{reflect.TypeFor[bom.Part](), []string{"bought"}, []string{"counted_in"}},
	{reflect.TypeFor[bom.Part](), []string{"assembly"}, []string{"children"}},
}
