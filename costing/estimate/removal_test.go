package estimate_test

import (
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/estimate"
	"kerfbook/costing/graph"
	"kerfbook/costing/graph/exact"
	"kerfbook/costing/trade"
	"kerfbook/testdata/depth"
)

// removable is one number, word, reference or group of them of a book that can be taken out.
type removable struct {
	path, field string // field: Offer.moq
	remove      func() (restore func())
}

// removables lists what can be taken out of the records of a book.
func removables(v reflect.Value, path, field string, required bool, out *[]removable) {
	switch x := v.Addr().Interface().(type) {
	case **bom.Number:
		if *x != nil {
			*out = append(*out, removable{path, field, func() func() { was := *x; *x = nil; return func() { *x = was } }})
		}
		return
	case *bom.Number:
		*out = append(*out, removable{path, field, func() func() { was := *x; *x = bom.Number{Missing: true}; return func() { *x = was } }})
		return
	case *bom.ID:
		if tag := field[strings.IndexByte(field, '.')+1:]; *x != "" && tag != "id" && tag != "number" {
			gone := []bom.ID{"GONE", ""} // no record of the book, and nothing entered yet
			if required {
				gone = gone[:1] // the reader refuses an empty one
			}
			for _, gone := range gone {
				*out = append(*out, removable{path, field, func() func() { was := *x; *x = gone; return func() { *x = was } }})
			}
		}
		return
	}
	switch v.Kind() {
	case reflect.String:
		if v.String() != "" && !required {
			*out = append(*out, removable{path, field, func() func() { was := v.String(); v.SetString(""); return func() { v.SetString(was) } }})
		}
	case reflect.Pointer:
		if !v.IsNil() {
			if !required {
				*out = append(*out, removable{path, field, func() func() { was := reflect.ValueOf(v.Interface()); v.SetZero(); return func() { v.Set(was) } }})
			}
			removables(v.Elem(), path, field, required, out)
		}
	case reflect.Slice:
		for i := range v.Len() {
			removables(v.Index(i), fmt.Sprintf("%s[%d]", path, i), field, required, out)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if tag, words, _ := strings.Cut(v.Type().Field(i).Tag.Get("book"), ","); tag != "" && tag != "-" {
				required := slices.Contains(strings.Split(words, ","), "required")
				removables(v.Field(i), strings.TrimPrefix(path+"."+tag, "."), v.Type().Name()+"."+tag, required, out)
			}
		}
	}
}

// meansSomething are the fields whose absence says something by itself, and what.
var meansSomething = map[string]string{
	"parts[].routing[].setup_min":                       notCounted,
	"parts[].routing[].load_min":                        notCounted,
	"parts[].routing[].handling_min":                    notCounted,
	"parts[].routing[].load_handling_min":               notCounted,
	"parts[].routing[].probing_min":                     notCounted,
	"parts[].routing[].tools_per_piece":                 notCounted,
	"parts[].routing[].yield":                           notCounted,
	"parts[].routing[].setup_pieces":                    notCounted,
	"products[].routing[].setup_min":                    notCounted,
	"products[].routing[].load_min":                     notCounted,
	"products[].routing[].yield":                        notCounted,
	"tools[].edge_change_min":                           notCounted,
	"tools[].edge_cost":                                 notCounted,
	"tools[].taylor_c":                                  notCounted,
	"tools[].taylor_n":                                  notCounted,
	"work_centres[].acceleration_m_s2":                  notCounted,
	"work_centres[].approach_mm":                        notCounted,
	"work_centres[].rapid_mm_min":                       notCounted,
	"work_centres[].settling_s":                         notCounted,
	"work_centres[].tap_reversal_s":                     notCounted,
	"work_centres[].tool_change_s":                      notCounted,
	"carriers[].clearance[].fixed":                      notCharged,
	"carriers[].clearance[].share_of_advanced":          notCharged,
	"carriers[].fuel_share":                             notCharged,
	"carriers[].insurance":                              notCharged,
	"channels[].price_point":                            notCharged,
	"destinations[].price_point":                        notCharged,
	"offers[].inbound":                                  notCharged,
	"products[].routing[].learning":                     saidByComment,
	"parts[].finished":                                  saidByComment,
	"channels[].cash_discount":                          notCharged,
	"channels[].customer_discount":                      notCharged,
	"channels[].payment_fixed":                          notCharged,
	"channels[].payment_share":                          notCharged,
	"channels[].price_point.ending":                     notCharged,
	"channels[].reseller_margin":                        notCharged,
	"channels[].returns_per_piece":                      notCharged,
	"channels[].warranty_per_piece":                     notCharged,
	"destinations[].price_point.ending":                 notCharged,
	"offers[].inbound.fixed":                            notCharged,
	"offers[].inbound.per_unit":                         notCharged,
	"offers[].inbound.share_of_value":                   notCharged,
	"outside_processes[].fixed":                         notCharged,
	"outside_processes[].load_charge":                   notCharged,
	"outside_processes[].mask_price":                    notCharged,
	"outside_processes[].price_per_dm2":                 notCharged,
	"outside_processes[].price_per_dm2_um":              notCharged,
	"outside_processes[].transport_back":                notCharged,
	"outside_processes[].transport_there":               notCharged,
	"products[].special_selling_per_piece":              notCharged,
	"work_centres[].hour_rate.maintenance_per_year":     notCharged,
	"materials[].reclaim_per_kg":                        notCredited,
	"materials[].recovered_share":                       notCredited,
	"offers[].leftover_value":                           notCredited,
	"parts[].blank.leftover_value":                      notCredited,
	"parts[].mass_g":                                    notCredited,
	"work_centres[].hour_rate.residual":                 notCredited,
	"destinations[].carrier":                            notCounted,
	"destinations[].channel":                            channelNoted,
	"destinations[].sales_to_date":                      saidByComment,
	"materials[].cutting_share":                         saidByComment,
	"outside_processes[].load_dm2":                      saidByComment,
	"offers[].multiple":                                 saidByComment,
	"parts[].blank.kerf_mm":                             saidByComment,
	"parts[].children[].fitting_scrap":                  saidByComment,
	"products[].positions[].fitting_scrap":              saidByComment,
	"parts[].finished.inner_diameter_mm":                saidByComment,
	"parts[].routing[].area_dm2":                        saidByComment,
	"parts[].routing[].attended_share":                  saidByComment,
	"products[].routing[].attended_share":               saidByComment,
	"parts[].routing[].characteristics[].sampled_share": saidByComment,
	"parts[].routing[].min_per_dm2":                     saidByComment,
	"parts[].routing[].pieces_per_load":                 saidByComment,
	"products[].routing[].pieces_per_load":              saidByComment,
	"parts[].routing[].pieces_per_setup":                saidByComment,
	"parts[].routing[].treatment.masks":                 saidByComment,
	"parts[].routing[].treatment.pieces_per_load":       saidByComment,
	"parts[].routing[].treatment.thickness_um":          saidByComment,
	"products[].routing[].learning.average_at":          saidByComment,
	"work_centres[].allowance":                          saidByComment,
	"work_centres[].hour_rate.power_load":               saidByComment,
	"factors[].minutes":                                 another,
	"factors[].work_centre":                             another,
	"offers[].for":                                      another,
	"parts[].routing[].features[].corner_radius_mm":     another,
	"parts[].routing[].features[].depth_mm":             another,
	"parts[].routing[].features[].peck_mm":              another,
	"parts[].routing[].features[].rz_um":                another,
	"parts[].routing[].features[].spacing_mm":           another,
	"tools[].cutting_length_mm":                         another,
	"tools[].diameter_mm":                               another,
	"tools[].point_angle_deg":                           another,
	"tools[].teeth":                                     another,
	"parts[].routing[].features[].width_mm":             another,
	"tools[].work_centres[]":                            another,
	"tools[].width_mm":                                  another,
	"parts[].children[].part":                           shared,
	"products[].positions[].part":                       shared,
}

const (
	notCounted    = "listed by book.Omissions as not counted, or noted with the figures"
	notCharged    = "what a supplier, carrier or channel need not charge, and a shop need not give"
	notCredited   = "without it nothing is credited, and the cost is higher"
	saidByComment = "absent means the value its comment says: all, one, none"
	another       = "another tool, offer, factor or way of cutting is taken"
	channelNoted  = "the first channel by its id is taken, and a note says so"
	shared        = "a batch of several trims shares fewer parts"
)

var listPath = regexp.MustCompile(`\[[0-9]+\]`)

// outcome is what a book gives for three trims: what each headline figure comes to,
// and its state.
type outcome struct {
	values map[string]decimal.Decimal
	states map[string]graph.State
	named  []string
}

func outcomeOf(b *book.Book) (outcome, error) {
	est, err := estimate.Build(b, estimate.NewMix("LAMP", decimal.NewFromInt(250), "plain", "glow", "tune"), demoDay)
	if err != nil {
		return outcome{}, err
	}
	values, err := exact.Evaluate(est.Graph, nil)
	if err != nil {
		return outcome{}, err
	}
	out := outcome{values: map[string]decimal.Decimal{}, states: map[string]graph.State{}}
	standing := est.Graph.Standing(nil)
	var ids []graph.ID
	for _, v := range est.Variants {
		ids = append(ids, v.Full)
		for _, p := range v.Prices {
			ids = append(ids, p.Shelf, p.Margin)
		}
	}
	for _, l := range est.Landed {
		ids = append(ids, l.AllPaid.Total)
	}
	for _, id := range ids {
		if id < 0 {
			continue
		}
		key := est.Graph.Node(id).Key
		out.states[key] = standing.Of(id)
		if v, ok := values.Raw(id); ok {
			out.values[key] = v
		}
	}
	for _, n := range standing.Missing(ids...) {
		out.named = append(out.named, n.Missing)
	}
	return out, nil
}

// TestRemoval takes numbers and references out of the demo in turn, by day the first
// and the last of each kind, by night all: what rests on one is named or blank, a bound
// is never above what it was, and all else is as it was.
func TestRemoval(t *testing.T) {
	t.Parallel()
	b := demo(t)
	b.Destinations = slices.DeleteFunc(b.Destinations, func(d trade.Destination) bool { return d.Country != "CH" && d.Country != "DE" })
	share := bom.Exactly(decimal.RequireFromString("0.9"))
	b.Materials[0].CuttingShare = &share // which the demo has no use for
	before, err := outcomeOf(b)
	if err != nil {
		t.Fatal(err)
	}
	if len(before.named) > 0 {
		t.Fatalf("the demo lacks %q", before.named)
	}
	var all []removable
	removables(reflect.ValueOf(b).Elem(), "", "", false, &all)
	byField := map[string][]removable{}
	for _, r := range all {
		byField[r.field] = append(byField[r.field], r)
	}
	gaps, refused := 0, 0
	for _, field := range slices.Sorted(maps.Keys(byField)) {
		list := byField[field]
		if depth.Of(10) < 10 && len(list) > 2 {
			list = []removable{list[0], list[len(list)-1]}
		}
		for _, r := range list {
			restore := r.remove()
			after, err := outcomeOf(b)
			restore()
			var build *estimate.BuildError
			switch {
			case errors.As(err, &build) || field == "Position.place":
				refused++
				t.Logf("refused: %s: %v", r.path, err)
				continue
			case err != nil:
				t.Errorf("%s: %v", r.path, err)
				continue
			}
			switch len(after.named) {
			case 0:
			case 1:
				gaps++
			default:
				if r.field == "Material.cutting_as" || r.field == "Part.blank" {
					break // each operation that cuts it lacks its own tools, or what it cuts
				}
				t.Errorf("without %s more than one thing is said to be missing: %q", r.path, after.named)
			}
			for key, was := range before.values {
				now, ok := after.values[key]
				switch state := after.states[key]; {
				case !ok:
				case state == graph.Clean && !now.Equal(was) && meansSomething[listPath.ReplaceAllString(r.path, "[]")] == "":
					t.Errorf("%s: without %s it is %s and was %s, and says nothing", key, r.path, now, was)
				case state == graph.AtLeast && now.GreaterThan(was):
					t.Errorf("%s: without %s it is at least %s and was %s", key, r.path, now, was)
				}
			}
		}
	}
	t.Logf("%d removals leave a gap, %d are refused, of %d fields", gaps, refused, len(byField))
}

// TestBoundsOfBooks takes fields out of books by chance and puts drawn numbers in the
// place of what is missing: no figure comes below what it is at least, and no clean
// one moves.
func TestBoundsOfBooks(t *testing.T) {
	t.Parallel()
	const books, draws = 500, 20
	base, bounded, clean := booktest.Read(t, []byte(severalBook)), 0, 0
	for seed := range depth.Seeds(books) {
		rnd := rand.New(rand.NewPCG(seed, 41))
		b, mix := drawn(base, rnd)
		var fields []removable
		removables(reflect.ValueOf(b).Elem(), "", "", false, &fields)
		for range 3 {
			fields[rnd.IntN(len(fields))].remove()
		}
		est, err := estimate.Build(b, mix, demoDay)
		if err != nil {
			continue
		}
		g := est.Graph
		least, err := exact.Evaluate(g, nil)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		standing := g.Standing(nil)
		for range draws {
			pins := exact.Pins{}
			for id := range graph.ID(g.Len()) {
				if g.Node(id).Missing != "" {
					pins[id] = decimal.New(rnd.Int64N(1_000_000), -int32(rnd.IntN(7)))
				}
			}
			values, err := exact.Evaluate(g, pins)
			if len(pins) == 0 || err != nil {
				break // nothing is missing, or what is drawn leaves the window of a choice
			}
			for id := range graph.ID(g.Len()) {
				was, ok := least.Raw(id)
				now, known := values.Raw(id)
				switch state := standing.Of(id); {
				case !ok || !known || state == graph.Withheld || g.Node(id).Missing != "":
				case state == graph.AtLeast && now.LessThan(was):
					t.Fatalf("seed %d: %s is at least %s and came to %s", seed, g.Node(id).Key, was, now)
				case state == graph.AtLeast:
					bounded++
				case !now.Equal(was):
					t.Fatalf("seed %d: %s is %s, lacks nothing, and came to %s", seed, g.Node(id).Key, was, now)
				default:
					clean++
				}
			}
		}
	}
	t.Logf("%d bounded figures and %d clean ones held", bounded, clean)
	if bounded < depth.Of(books)*100 {
		t.Errorf("only %d bounded figures were looked at", bounded)
	}
}
