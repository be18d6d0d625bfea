package check_test

import (
	"kerfbook/costing/book/booktest"
	"kerfbook/costing/book/check"
	"strings"
	"testing"

	"kerfbook/bom"
)

func TestCheckSample(t *testing.T) {
	t.Parallel()
	b, places := booktest.Placed(t, booktest.Sample)
	problems := check.Book(b, places, booktest.SampleDay)
	if len(problems) != 1 || check.HasFault(problems) {
		t.Fatalf("got %v, want one warning", problems)
	}
	if got := problems[0].Error(); !strings.Contains(got, "warning: offers[5].valid_until: the offer for LED-1 ran out on 30 June 2026; others") {
		t.Errorf("got %s", got)
	}
}

// checkCases change the sample in one way each: pairs of old and new text, then
// the path and message expected. The place is that of the ‸.
var checkCases = []struct {
	name          string
	edits         []string
	path, message string
}{
	{"part id twice", []string{"number: SHADE-ALU\n", "number: ‸SHADE-POM\n"}, "parts[2].number", "SHADE-POM is used twice; the first is on line"},
	{"rate card twice", []string{"work_centres:\n", "  - {id: ‸card-2026, from: 2026-02-01}\nwork_centres:\n"}, "rate_cards[1].id", "used twice"},
	{"two rate cards from one day", []string{"work_centres:\n", "  - {id: b, from: ‸2026-01-01}\nwork_centres:\n"}, "rate_cards[1].from", "two rate cards begin on 2026-01-01"},
	{"part and stock of one name", []string{"number: SHADE-ALU\n", "number: ‸alu-tube\n"}, "parts[2].number", "also the name of a stock"},
	{"no rate card in force", []string{"rate_cards:\n  - id", "rate_cards:\n  ‸- id", "from: 2026-01-01", "from: 2027-01-01"}, "rate_cards", "no rate card is in force on 2026-11-25"},
	{"overhead without a rate", []string{"{base: labour_cost, budget: 42000, base_budget: 60000}", "‸{base: labour_cost, budget: 42000}"}, "rate_cards[0].making_overhead", "give rate, or both"},
	{"overhead twice", []string{"{base: labour_cost,", "‸{base: labour_cost, rate: 1,"}, "rate_cards[0].making_overhead", "not both"},
	{"exchange twice", []string{"    source: yearly", "      - ‸{from: USD, to: EUR, kind: selling, rate: 0.93}\n    source: yearly"}, "rate_cards[0].exchange[2]", "given twice"},
	{"exchange for itself", []string{"from: USD, to: EUR", "from: EUR, to: ‸EUR"}, "rate_cards[0].exchange[0].to", "for itself"},
	{"missing exchange rate", []string{"currency: SEK", "currency: ‸JPY"}, "offers[4].currency", "no buying or selling exchange rate between JPY and EUR"},
	{"customs rate only", []string{"to: EUR, kind: selling", "to: EUR, kind: customs", "currency: USD", "currency: ‸USD"}, "offers[5].currency", "no buying or selling exchange rate"},
	{"exchange for a process", []string{"gleam\n    currency: EUR", "gleam\n    currency: ‸GBP"}, "outside_processes[0].currency", "between GBP and EUR"},

	{"dangling material", []string{"material: pom, form", "material: ‸pon, form"}, "stocks[1].material", "there is no material pon; did you mean pom?"},
	{"bar without a section", []string{"{id: pom-rod,", "‸{id: pom-rod,", "length_mm: 1000, diameter_mm: 80}", "length_mm: 1000}"}, "stocks[1]", "a bar needs diameter_mm"},
	{"bar round and flat", []string{"1000, diameter_mm: 80", "1000, width_mm: ‸8, diameter_mm: 80"}, "stocks[1].width_mm", "a round bar has no width_mm"},
	{"flat bar without thickness", []string{"{id: cu-bar,", "‸{id: cu-bar,", ", thickness_mm: 25", ""}, "stocks[0]", "a flat bar needs thickness_mm"},
	{"tube too thick", []string{"inner_diameter_mm: 74", "inner_diameter_mm: ‸80"}, "stocks[2].inner_diameter_mm", "not less than the outer"},
	{"tube without a bore", []string{"{id: alu-tube", "‸{id: alu-tube", ", inner_diameter_mm: 74", ""}, "stocks[2]", "a tube needs inner_diameter_mm"},
	{"sheet with a diameter", []string{"thickness_mm: 1.5", "thickness_mm: 1.5, diameter_mm: ‸3"}, "stocks[3].diameter_mm", "a sheet has no diameter_mm"},
	{"sheet without a width", []string{"{id: alu-sheet", "‸{id: alu-sheet", "width_mm: 1000, ", ""}, "stocks[3]", "a sheet needs width_mm"},

	{"hexagon without flats", []string{"{id: pom-rod,", "‸{id: pom-rod,", "form: bar, length_mm: 1000, diameter_mm: 80", "form: hexagon, length_mm: 1000"}, "stocks[1]", "a hexagonal bar needs across_flats_mm"},
	{"hexagon with a diameter", []string{"form: bar, length_mm: 1000, diameter_mm: 80", "form: hexagon, length_mm: 1000, across_flats_mm: 80, diameter_mm: ‸80"}, "stocks[1].diameter_mm", "a hexagonal bar has no diameter_mm"},
	{"bar across flats", []string{"1000, diameter_mm: 80", "1000, diameter_mm: 80, across_flats_mm: ‸80"}, "stocks[1].across_flats_mm", "a bar has no across_flats_mm"},
	{"extrusion without a section", []string{"{id: pom-rod,", "‸{id: pom-rod,", "form: bar, length_mm: 1000, diameter_mm: 80", "form: extrusion, length_mm: 1000"}, "stocks[1]", "needs section_mm2"},
	{"extrusion with two", []string{"form: bar, length_mm: 1000, diameter_mm: 80", "form: extrusion, length_mm: 1000, section_mm2: 50, mass_kg_m: ‸1"}, "stocks[1].mass_kg_m", "delete one"},
	{"casting of no mass", []string{"{id: pom-rod,", "‸{id: pom-rod,", "form: bar, length_mm: 1000, diameter_mm: 80", "form: near_net, length_mm: 1000"}, "stocks[1]", "a near-net blank needs mass_g"},

	{"dangling offer", []string{"for: LED-1\n", "for: ‸LED-2\n"}, "offers[4].for", "there is no part or stock LED-2; did you mean LED-1?"},
	{"dangling supplier", []string{"supplier: fiord", "supplier: ‸fjord"}, "offers[4].supplier", "there is no supplier fjord; did you mean fiord?"},
	{"offer for a made part", []string{"for: LED-1\n", "for: ‸SINK-10\n"}, "offers[4].for", "only bought parts have offers"},
	{"part by weight", []string{"for: SCREW-M3, supplier: douro, unit: hundred", "for: SCREW-M3, supplier: douro, unit: ‸kg"}, "offers[6].unit", "a part that is counted by the piece is not bought by kg; use pack with pack_content, piece or hundred, or enter mass_g"},
	{"sheet by the metre", []string{"unit: sheet", "unit: ‸m"}, "offers[3].unit", "not bought by the metre"},
	{"rod by the sheet", []string{"unit: m,", "unit: ‸sheet,"}, "offers[1].unit", "not bought by the sheet"},
	{"breaks that fall", []string{"from: 500", "from: ‸50"}, "offers[4].breaks[2].from", "must rise"},
	{"leftover of stock on the offer", []string{"    moq: 10", "    leftover_value: ‸0.5"}, "offers[0].leftover_value", "write it on the blank"},
	{"expired offer", []string{"valid_until: 2026-12-31", "valid_until: ‸2026-11-24"}, "offers[0].valid_until", "no other is valid on 2026-11-25"},
	{"bought part without an offer", []string{"for: SCREW-M3", "for: LED-1", "number: SCREW-M3", "number: ‸SCREW-M3"}, "parts[5].number", "has no offer"},
	{"stock without an offer", []string{"for: alu-sheet", "for: pom-rod", "unit: sheet", "unit: m", "id: alu-sheet", "id: ‸alu-sheet"}, "stocks[3].id", "has no offer"},
	{"process supplier", []string{"supplier: gleam", "supplier: ‸glam"}, "outside_processes[0].supplier", "did you mean gleam?"},
	{"expired process", []string{"    lead_days: 7", "    valid_until: ‸2026-01-31"}, "outside_processes[0].valid_until", "ran out on 31 January 2026"},

	{"made without a blank", []string{"- number: SHADE-POM", "- ‸number: SHADE-POM", "    blank: {stock: pom-rod, length_mm: 62, kerf_mm: 3}\n", ""}, "parts[1]", "needs a blank"},
	{"made without a routing", []string{"- number: PLATE-W", "- ‸number: PLATE-W", "    routing:\n      - {number: 10, name: Deburr, kind: manual, work_centre: bench, piece_min: 2}\n", ""}, "parts[3]", "no routing"},
	{"bought with a blank", []string{"kind: bought, mass_g: 12}", "kind: bought, blank: ‸{stock: pom-rod, length_mm: 3}}"}, "parts[4].blank", "has no blank"},
	{"assembly of nothing", []string{"{number: SCREW-M3, name: Screw M3, kind: bought}", "‸{number: SCREW-M3, name: Screw M3, kind: assembly}"}, "parts[5]", "needs children"},
	{"programming of nothing", []string{"kind: bought, mass_g: 12}", "kind: bought, programming_min: ‸60}"}, "parts[4].programming_min", "no operation of it machines"},
	{"bought with children", []string{"kind: bought, mass_g: 12}", "kind: bought, children: ‸[{part: SCREW-M3, quantity: 1}]}"}, "parts[4].children", "make the kind assembly"},
	{"dangling child", []string{"part: LED-1, quantity", "part: ‸LED-l, quantity"}, "parts[6].children[1].part", "there is no part LED-l; did you mean LED-1?"},
	{"child twice", []string{"{part: LED-1, quantity: 1, operation: 10,", "{part: ‸SINK-10, quantity: 1,"}, "parts[6].children[1].part", "listed twice"},
	{"child at no operation", []string{"operation: 20}", "operation: ‸30}"}, "parts[6].children[2].operation", "the routing has no operation 30"},
	{"part that contains itself", []string{"{part: SINK-10, quantity: 1}", "{part: ‸HEAD, quantity: 1}"}, "parts[6].children[0].part", "HEAD contains itself: HEAD > HEAD"},
	{"parts that contain one another", []string{
		"{number: SCREW-M3, name: Screw M3, kind: bought}", "{number: SCREW-M3, name: Screw M3, kind: assembly, children: [{part: SINK-10, quantity: 1}, {part: HEAD, quantity: 1}]}",
		"part: SCREW-M3, quantity: 4", "part: ‸SCREW-M3, quantity: 4",
	}, "parts[6].children[2].part", "SCREW-M3 contains itself: SCREW-M3 > HEAD > SCREW-M3"},

	{"dangling stock", []string{"stock: pom-rod", "stock: ‸pom-bar"}, "parts[1].blank.stock", "there is no stock pom-bar"},
	{"process with a lot charge alone", []string{"  - id: nickel", "  - ‸id: nickel", "    price_per_dm2_um: 0.031\n", ""}, "outside_processes[0].piece_price", "price of a piece, an area or a load of nickel is missing"},
	{"current of a powder", []string{"    lead_days: 7", "    finish: powder\n    current_a_dm2: ‸2\n    lead_days: 7"}, "outside_processes[0].current_a_dm2", "only anodising and electroplating draw current"},
	{"unusual current", []string{"    lead_days: 7", "    finish: nickel\n    current_a_dm2: ‸20\n    lead_days: 7"}, "outside_processes[0].current_a_dm2", "outside of what is usual for nickel on a rack, 2.2 to 10.8"},
	{"efficiency without a current", []string{"    lead_days: 7", "    finish: nickel\n    efficiency: ‸0.95\n    lead_days: 7"}, "outside_processes[0].efficiency", "give finish and current_a_dm2"},
	{"thickness of a passivation", []string{"    lead_days: 7", "    finish: passivation\n    lead_days: 7", "thickness_um: 8", "thickness_um: ‸8"}, "parts[0].routing[1].treatment.thickness_um", "passivation leaves no layer"},
	{"unusual thickness", []string{"    lead_days: 7", "    finish: hard_gold\n    lead_days: 7", "thickness_um: 8", "thickness_um: ‸8"}, "parts[0].routing[1].treatment.thickness_um", "outside of what is usual for hard gold, 0.3 to 2.54"},
	{"thread under an unknown finish", []string{"thickness_um: 8", "thickness_um: 8, thread_pitch_mm: ‸1"}, "parts[0].routing[1].treatment.thread_pitch_mm", "write finish in the outside process"},
	{"no thickness", []string{"    lead_days: 7", "    finish: zinc\n    lead_days: 7", "{process: nickel, area_dm2: 2.4, thickness_um: 8, masks: 1}", "‸{process: nickel, area_dm2: 2.4, masks: 1}"}, "parts[0].routing[1].treatment", "zinc is usually 5 to 25 µm"},
	{"price of a piece twice", []string{"    lead_days: 7", "    piece_price: ‸1\n    piece_breaks: [{from: 1, price: 1}]\n    lead_days: 7"}, "outside_processes[0].piece_price", "piece_breaks too"},
	{"price of an area twice", []string{"    lead_days: 7", "    price_per_dm2: ‸1\n    area_breaks: [{from: 1, price: 1}]\n    lead_days: 7"}, "outside_processes[0].price_per_dm2", "area_breaks too"},
	{"falling breaks of a process", []string{"    lead_days: 7", "    piece_breaks: [{from: 10, price: 1}, {from: ‸5, price: 1}]\n    lead_days: 7"}, "outside_processes[0].piece_breaks[1].from", "5 does not come after 10"},
	{"charge twice", []string{"    lead_days: 7", "    charges: [{id: jig, name: jig, amount: 1, per: lot}, {id: ‸jig, name: jig, amount: 1, per: lot}]\n    lead_days: 7"}, "outside_processes[0].charges[1].id", "used twice"},
	{"charge paid once", []string{"    lead_days: 7", "    charges: [‸{id: jig, name: jig, amount: 1, per: once}]\n    lead_days: 7"}, "outside_processes[0].charges[0]", "give over_pieces to spread it"},
	{"charge of a lot that is spread", []string{"    lead_days: 7", "    charges: [{id: jig, name: jig, amount: 1, per: lot, over_pieces: ‸9}]\n    lead_days: 7"}, "outside_processes[0].charges[0].over_pieces", "only what is paid once is spread"},
	{"surcharge that ran out", []string{"    lead_days: 7", "    surcharges: [{id: energy, share: 0.02, from: 2026-09-01, until: ‸2026-09-30}]\n    lead_days: 7"}, "outside_processes[0].surcharges[0].until", "the surcharge for energy ran out on 30 September 2026"},
	{"surcharge that ends before it begins", []string{"    lead_days: 7", "    surcharges: [{id: energy, share: 0.02, from: 2026-12-01, until: ‸2026-09-30}]\n    lead_days: 7"}, "outside_processes[0].surcharges[0].until", "before the day it holds from"},
	{"nobody bears what is spoiled", []string{"    lead_days: 7", "    allowed_loss: ‸0.02\n    lead_days: 7"}, "outside_processes[0].allowed_loss", "enter spoiled_times"},
	{"spoiled without an allowance", []string{"    lead_days: 7", "    spoiled_times: ‸2\n    lead_days: 7"}, "outside_processes[0].spoiled_times", "enter allowed_loss"},
	{"contacts not entered", []string{"    lead_days: 7", "    charges: [{id: c, name: contact, amount: 1, per: contact}]\n    lead_days: 7", "{process: nickel, area_dm2: 2.4, thickness_um: 8, masks: 1}", "‸{process: nickel, area_dm2: 2.4, thickness_um: 8, masks: 1}"}, "parts[0].routing[1].treatment", "give contacts, or 0"},
	{"space not entered", []string{"    lead_days: 7", "    load_dm3: 40\n    lead_days: 7", "{process: nickel, area_dm2: 2.4, thickness_um: 8, masks: 1}", "‸{process: nickel, area_dm2: 2.4, thickness_um: 8, masks: 1}"}, "parts[0].routing[1].treatment", "give space_dm3, or pieces_per_load"},
	{"larger than the space of a load", []string{"    lead_days: 7", "    load_dm3: 40\n    lead_days: 7", "masks: 1}", "masks: 1, space_dm3: ‸41}"}, "parts[0].routing[1].treatment.space_dm3", "larger than a load of nickel"},
	{"by the kilogram without a mass", []string{"    lead_days: 7", "    price_per_kg: 3\n    lead_days: 7", "    mass_g: 182.5\n", "", "{process: nickel, area_dm2: 2.4, thickness_um: 8, masks: 1}", "‸{process: nickel, area_dm2: 2.4, thickness_um: 8, masks: 1}"}, "parts[0].routing[1].treatment", "give mass_g of the part"},
	{"contacts nobody charges", []string{"masks: 1}", "masks: 1, contacts: ‸2}"}, "parts[0].routing[1].treatment.contacts", "charges no contacts"},
	{"space nobody asks for", []string{"masks: 1}", "masks: 1, space_dm3: ‸2}"}, "parts[0].routing[1].treatment.space_dm3", "enter load_dm3 there"},
	{"charge that is not there", []string{"masks: 1}", "masks: 1, charges: [‸report]}"}, "parts[0].routing[1].treatment.charges[0]", "nickel has no charge report"},
	{"metal of a process without a price", []string{"    lead_days: 7", "    metal: {metal: ‸gold}\n    lead_days: 7"}, "outside_processes[0].metal.metal", "there is no metal price gold"},
	{"metal of a process without a mass", []string{"    coating_density_g_cm3: 7.9\n", "    metal: ‸{metal: gold}\n"}, "outside_processes[0].metal", "the mass of gold is not known"},
	{"metal of a process below no base", []string{"    lead_days: 7", "    metal: {metal: gold, never_below_base: ‸true}\n    lead_days: 7"}, "outside_processes[0].metal.never_below_base", "there is no base"},
	{"old price of the metal of a process", []string{"    lead_days: 7", "    metal: {metal: gold}\n    lead_days: 7", "outside_processes:\n", "metal_prices: [{id: gold, name: gold, currency: EUR, days: [{from: ‸2026-09-01, per_kg: 100000}]}]\noutside_processes:\n"}, "metal_prices[0].days[0].from", "the price of gold is of 1 September 2026"},
	{"surcharge twice", []string{"    lead_days: 7", "    surcharges: [{id: energy, share: 0.02, from: 2026-11-01}, {id: energy, share: 0.03, from: ‸2026-11-01}]\n    lead_days: 7"}, "outside_processes[0].surcharges[1].from", "two surcharges for energy begin on 1 November 2026"},
	{"product without a price", []string{"  - {product: LAMP, channel: web, margin: 0.35}\n  - {product: LAMP, trim: glow, channel: dealer, list_price: 249.00}\n", "", "prices:\n", "", "- number: LAMP\n", "- ‸number: LAMP\n"}, "products[0]", "no price is asked for LAMP in any channel"},
	{"scrap entered as yield", []string{"work_centre: mill, piece_min: 7}", "work_centre: mill, piece_min: 7, yield: ‸0.02}"}, "parts[2].routing[0].yield", "a yield of 0.02 leaves less than half"},
	{"blank without a kerf", []string{"blank: {stock: pom-rod, length_mm: 62, kerf_mm: 3}", "blank: ‸{stock: pom-rod, length_mm: 62}"}, "parts[1].blank", "cutting it off takes no stock"},
	{"finished longer than its blank", []string{"blank: {stock: pom-rod, length_mm: 62,", "finished: ‸{length_mm: 63, diameter_mm: 70}\n    blank: {stock: pom-rod, length_mm: 62,"}, "parts[1].finished", "the finished part of 70 × 70 × 63 mm does not lie within its blank of 80 × 80 × 62 mm"},
	{"finished wider than its blank", []string{"blank: {stock: pom-rod, length_mm: 62,", "finished: ‸{length_mm: 60, diameter_mm: 81}\n    blank: {stock: pom-rod, length_mm: 62,"}, "parts[1].finished", "of 81 × 81 × 60 mm does not lie"},
	{"blank without a length", []string{"blank: {stock: pom-rod, length_mm: 62,", "blank: ‸{stock: pom-rod,"}, "parts[1].blank", "needs length_mm"},
	{"blank too long", []string{"length_mm: 62,", "length_mm: ‸1062,"}, "parts[1].blank.length_mm", "longer than the stock pom-rod"},
	{"width of a rod", []string{"62, kerf", "62, width_mm: ‸3, kerf"}, "parts[1].blank.width_mm", "has no width_mm"},
	{"grain of a rod", []string{"62, kerf_mm", "62, grain: ‸true, kerf_mm"}, "parts[1].blank.grain", "has no grain"},
	{"grip of a sheet", []string{"margin_mm: 10", "bar_end_mm: ‸10"}, "parts[3].blank.bar_end_mm", "has no bar_end_mm"},
	{"disc with a length", []string{"length_mm: 120, width_mm: 80", "length_mm: ‸120, diameter_mm: 80"}, "parts[3].blank.length_mm", "a round blank has no length_mm"},
	{"disc too large", []string{"length_mm: 120, width_mm: 80", "diameter_mm: ‸1001"}, "parts[3].blank.diameter_mm", "larger than the stock"},
	{"half a rectangle", []string{"blank: {stock: alu-sheet, length_mm: 120, width_mm: 80", "blank: ‸{stock: alu-sheet, length_mm: 120"}, "parts[3].blank", "needs width_mm"},
	{"no size at all", []string{"blank: {stock: alu-sheet, length_mm: 120, width_mm: 80", "blank: ‸{stock: alu-sheet"}, "parts[3].blank", "or diameter_mm"},
	{"does not fit along the grain", []string{"length_mm: 120, width_mm: 80", "length_mm: ‸900, width_mm: 1800"}, "parts[3].blank.length_mm", "does not fit"},

	{"operations fall", []string{"number: 20\n        name: Nickel", "number: ‸10\n        name: Nickel"}, "parts[0].routing[1].number", "operation 10 follows 10"},
	{"no work centre", []string{"- {number: 10, name: Pack, kind: manual, work_centre: bench,", "- ‸{number: 10, name: Pack, kind: manual,"}, "products[0].routing[0]", "needs a work_centre"},
	{"dangling work centre", []string{"work_centre: mill\n", "work_centre: ‸mil\n"}, "parts[0].routing[0].work_centre", "there is no work centre mil; did you mean mill?"},
	{"outside without treatment", []string{"- number: 20\n        name: Nickel plate", "- ‸number: 20\n        name: Nickel plate", "        treatment: {process: nickel, area_dm2: 2.4, thickness_um: 8, masks: 1}\n", ""}, "parts[0].routing[1]", "needs a treatment"},
	{"outside at a work centre", []string{"kind: outside\n", "kind: outside\n        work_centre: ‸mill\n"}, "parts[0].routing[1].work_centre", "has no work centre"},
	{"treatment at home", []string{"yield: 0.97\n", "treatment: ‸{process: nickel}\n"}, "parts[0].routing[0].treatment", "only an operation of kind outside"},
	{"dangling process", []string{"process: nickel", "process: ‸nickle"}, "parts[0].routing[1].treatment.process", "did you mean nickel?"},
	{"piece time twice", []string{"handling_min: 1\n", "piece_min: ‸12\n"}, "parts[0].routing[0].piece_min", "whole and in parts (cutting_min, positioning_min)"},
	{"load time twice", []string{"pieces_per_load: 2\n", "load_min: ‸2\n"}, "parts[0].routing[0].load_min", "whole and in parts (tool_change_min)"},
	{"sampled milling", []string{"yield: 0.97\n", "sampled_share: ‸0.5\n"}, "parts[0].routing[0].sampled_share", "only an inspection"},

	{"option twice", []string{"- id: mount", "- id: ‸shade"}, "products[0].options[1].id", "used twice"},
	{"choice twice", []string{"{id: wall, name", "{id: ‸desk, name"}, "products[0].options[1].choices[1].id", "used twice"},
	{"place twice", []string{"{id: cover, name", "{id: ‸head, name"}, "products[0].places[1].id", "used twice"},
	{"first guess of a bought part", []string{"kind: bought, mass_g: 12}", "kind: bought, mass_g: 12, first_guess: ‸{way: turned, material: brass}}"}, "parts[4].first_guess", "a part of kind bought has no first guess"},
	{"position twice", []string{"{number: 21,", "{number: ‸20,"}, "products[0].positions[2].number", "position 20 is used twice"},
	{"trim twice", []string{"{id: glow, name", "{id: ‸plain, name"}, "products[0].trims[1].id", "used twice"},
	{"dangling option in a rule", []string{"if: {face: [mirror]}", "if: {fase: ‸[mirror]}"}, "products[0].rules[0].if.fase", "no option fase; did you mean face?"},
	{"dangling choice in a rule", []string{"then: {shade: [tunable]}", "then: {shade: [‸tuneable]}"}, "products[0].rules[0].then.shade[0]", "there is no choice tuneable; did you mean tunable?"},
	{"dangling choice in a condition", []string{"when: [{mount: [wall]}]", "when: [{mount: [‸walls]}]"}, "products[0].positions[3].when[0].mount[0]", "there is no choice walls"},
	{"dangling part in a position", []string{"part: PLATE-W, quantity", "part: ‸PLATE-V, quantity"}, "products[0].positions[3].part", "did you mean PLATE-W?"},
	{"dangling place", []string{"place: head}", "place: ‸hood}"}, "products[0].positions[0].place", "there is no place hood"},
	{"position at no operation", []string{"operation: 10, when", "operation: ‸20, when"}, "products[0].positions[3].operation", "no operation 20"},
	{"unchosen option", []string{"choices: {shade: plain, mount: desk, face: milled}", "choices: ‸{shade: plain, face: milled}"}, "products[0].trims[0].choices", "trim plain: option mount is not chosen; choose one of desk, wall"},
	{"unknown choice of a trim", []string{"shade: plain, mount: desk", "shade: plain, mount: ‸ceiling"}, "products[0].trims[0].choices.mount", "option mount has no choice ceiling"},
	{"unknown option of a trim", []string{"shade: plain, mount: desk", "shade: plain, size: ‸big, mount: desk"}, "products[0].trims[0].choices.size", "no option size"},
	{"broken rule", []string{"choices: {shade: plain, mount: desk, face: milled}", "choices: ‸{shade: plain, mount: desk, face: mirror}"}, "products[0].trims[0].choices", "rule 1 is broken: face mirror requires shade tunable (a mirror is hidden by the plain shade)"},
	{"empty place", []string{"place: cover, when: [{shade: [plain]}]", "when: [{shade: [plain]}]", "choices: {shade: plain", "choices: ‸{shade: plain"}, "products[0].trims[0].choices", "place cover has no part"},
	{"contested place", []string{"shade: [tunable], mount", "shade: [plain, tunable], mount", "choices: {shade: plain", "choices: ‸{shade: plain"}, "products[0].trims[0].choices", "place cover takes one part, but SHADE-POM (position 20) and SHADE-ALU (position 21) apply"},

	{"dangling channel", []string{"channel: web, margin", "channel: ‸wed, margin"}, "prices[0].channel", "did you mean web?"},
	{"dangling product", []string{"product: LAMP, channel", "product: ‸LAMB, channel"}, "prices[0].product", "did you mean LAMP?"},
	{"dangling trim", []string{"trim: glow, channel", "trim: ‸glowing, channel"}, "prices[1].trim", "there is no trim glowing"},
	{"price without a way", []string{"- {product: LAMP, channel: web, margin: 0.35}", "- ‸{product: LAMP, channel: web}"}, "prices[0]", "give one of margin"},
	{"price in two ways", []string{"- {product: LAMP, channel: web, margin: 0.35}", "- ‸{product: LAMP, channel: web, margin: 0.35, markup: 1}"}, "prices[0]", "only one of margin, markup"},
	{"entered price on a cost", []string{"list_price: 249.00}", "list_price: 249.00, rests_on: ‸average}"}, "prices[1].rests_on", "an entered price rests on no cost"},
	{"draws that are not made", []string{"currency: EUR\n", "currency: EUR\nprice_draws: ‸4000\n"}, "price_draws", "draws are made 256 at a time"},
	{"dangling carrier", []string{"carrier: dove", "carrier: ‸done"}, "destinations[0].carrier", "there is no carrier done; did you mean dove?"},
	{"dangling channel of a destination", []string{"{country: \"NO\", channel: web", "{country: \"NO\", channel: ‸wed"}, "destinations[0].channel", "there is no channel wed"},
	{"dangling delivered trim", []string{"trim: glow, price", "trim: ‸glove, price"}, "destinations[0].delivered_prices[0].trim", "there is no trim glove"},
	{"basket twice", []string{"prices:\n  - {product", "  - {id: ‸pair, lines: [{product: LAMP, trim: glow, quantity: 2}]}\nprices:\n  - {product"}, "baskets[1].id", "used twice"},
	{"dangling basket product", []string{"product: LAMP, trim: plain", "product: ‸LAMPE, trim: plain"}, "baskets[0].lines[0].product", "there is no product LAMPE"},
	{"basket to nowhere", []string{"destinations: [\"NO\"]", "destinations: [‸SE]"}, "baskets[0].destinations[0]", "there is no destination SE"},
	{"price twice", []string{"- {product: LAMP, trim: glow, channel: dealer", "- ‸{product: LAMP, channel: web"}, "prices[1]", "priced twice"},
}

func TestCheck(t *testing.T) {
	t.Parallel()
	for _, c := range checkCases {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			text, want := booktest.Edit(t, c.edits...)
			b, places := booktest.Placed(t, text)
			problems := check.Book(b, places, booktest.SampleDay)
			for i, p := range problems {
				if i > 0 && p.Line < problems[i-1].Line {
					t.Errorf("problems are not in the order of the text: %v", problems)
				}
			}
			for _, p := range problems {
				if p.Path == c.path && p.Line == want.Line && p.Column == want.Column && strings.Contains(p.Message, c.message) {
					return
				}
			}
			t.Errorf("got\n%v\nwant line %d, column %d: %s: …%s…", problems, want.Line, want.Column, c.path, c.message)
		})
	}
}

// A price that has run out goes on being used: that is a warning, no fault.
func TestPricesThatRanOutAreWarnings(t *testing.T) {
	t.Parallel()
	text, _ := booktest.Edit(t, "valid_until: 2026-12-31", "valid_until: 2026-11-24", "    lead_days: 7", "    valid_until: 2026-01-31")
	b, places := booktest.Placed(t, text)
	var said []string
	for _, p := range check.Book(b, places, booktest.SampleDay) {
		if p.Severity == check.Fault {
			t.Errorf("a fault: %s", p.Error())
		}
		said = append(said, p.Path)
	}
	if got := strings.Join(said, " "); got != "offers[0].valid_until offers[5].valid_until outside_processes[0].valid_until" {
		t.Errorf("said of %s", got)
	}
}

func TestCheckReportsAllProblems(t *testing.T) {
	t.Parallel()
	text, _ := booktest.Edit(t, "currency: SEK", "currency: JPY", "part: LED-1, quantity", "part: LED-9, quantity",
		"supplier: gleam", "supplier: gleem", "trim: glow, channel", "trim: glov, channel")
	b, places := booktest.Placed(t, text)
	var faults []string
	for _, p := range check.Book(b, places, booktest.SampleDay) {
		if p.Severity != check.Warning {
			faults = append(faults, p.Path)
		}
	}
	want := "offers[4].currency outside_processes[0].supplier parts[6].children[1].part prices[1].trim"
	if got := strings.Join(faults, " "); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestCheckWithoutPlacesOrDay(t *testing.T) {
	t.Parallel()
	b, _ := booktest.Placed(t, booktest.Sample)
	b.Version = 2
	b.RateCards[0].Exchange = nil
	problems := check.Book(b, nil, "")
	if len(problems) != 1 || problems[0].Path != "kerfbook" || problems[0].Line != 0 {
		t.Errorf("got %v, want only the version", problems)
	}
	for range 20 { // the order must not depend on that of maps
		again := check.Book(b, nil, "2027-01-01")
		if len(again) == 0 || again[1].Error() != check.Book(b, nil, "2027-01-01")[1].Error() {
			t.Fatal("problems come in another order each time")
		}
	}
}

func TestCheckDepth(t *testing.T) {
	t.Parallel()
	b, _ := booktest.Placed(t, booktest.Sample)
	below := bom.ID("SCREW-M3")
	for i := range bom.MaxLevels + 1 {
		id := bom.ID("A" + strings.Repeat("x", i))
		b.Parts = append(b.Parts, bom.Part{Number: id, Name: "box", Kind: bom.Assembly, Children: []bom.Child{{Part: below, Quantity: bom.Whole(10)}}})
		below = id
	}
	problems := check.Book(b, nil, booktest.SampleDay)
	if !check.HasFault(problems) || !strings.Contains(problems[len(problems)-1].Message+problems[0].Message, "deeper than 32 levels") {
		t.Errorf("got %v", problems)
	}
}
