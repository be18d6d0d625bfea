package machining

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/graph"
	"kerfbook/costing/making/machining/feature"
	"kerfbook/costing/making/routing"
	"kerfbook/costing/rates"
	"kerfbook/costing/reference"
)

// Rates are the hour rates of a work centre, as figures; None where the book gives
// no number.
type Rates struct {
	Machine graph.ID // money/h
	Labour  graph.ID // money/h attended, with its allowance
}

// Problem is a definition that cannot be built, with the field below the operation:
// something is wrong with it, or the book lacks what it names.
type Problem struct {
	Field, Message string
	Missing        bool
}

// operation is one operation being built.
type operation struct {
	*Shop
	s        graph.Scope
	op       *bom.Operation
	centre   *feature.Centre
	mat      feature.Material
	minute   graph.ID // money/min; None without any rate
	share    graph.ID // min, one tool change by piece; None without a change time
	search   rates.ToolSearch
	needs    map[bom.ID]*toolNeed
	sums     sums
	problems []Problem
}

// sums collect what is added up over the features.
type sums struct{ cutting, rapid, change, tools, removed, area []graph.ID }

// toolNeed says when a load takes a tool: always, or where one of the choices falls
// on it.
type toolNeed struct {
	name    string
	always  bool
	choices []graph.ID // 1 where the choice of a feature is this tool
}

// Build writes the features of an operation in the scope of the operation. Keys of
// the results are cutting, positioning, worn-edge, tool-changes and
// tools-per-piece. mat is the material cut.
func (m *Shop) Build(s graph.Scope, op *bom.Operation, mat bom.ID, r Rates) (routing.Cut, []Problem) {
	if len(op.Features) == 0 {
		return routing.NoCut(), nil
	}
	o := &operation{Shop: m, s: s, op: op, needs: map[bom.ID]*toolNeed{}, share: graph.None}
	o.minuteCost(r)
	// What is done by hand asks neither for the material nor for the motions of a machine.
	if slices.ContainsFunc(op.Features, func(f bom.Feature) bool { return !f.Kind.ByHand() }) {
		if problem, ok := o.place(mat); !ok {
			return routing.NoCut(), []Problem{problem}
		}
	}
	for i := range op.Features {
		o.feature(i)
	}
	if len(o.problems) > 0 {
		return routing.NoCut(), o.problems
	}
	return o.result(), nil
}

// place finds where tools cut, and what.
func (o *operation) place(mat bom.ID) (problem Problem, ok bool) {
	m, op := o.Shop, o.op
	if op.WorkCentre == "" {
		return Problem{"work_centre", fmt.Sprintf("operation %d names no work centre", op.Number), true}, false
	}
	if o.centre, ok = m.centre(op.WorkCentre); !ok {
		return Problem{"work_centre", fmt.Sprintf("there is no work centre %s", op.WorkCentre), true}, false
	}
	if mat == "" {
		return Problem{"material", fmt.Sprintf("it is not known what operation %d cuts; name its material", op.Number), true}, false
	}
	if o.mat, ok = m.material(mat); !ok {
		hint := ""
		if slices.Contains(rates.ReferenceMaterialNames(), mat) {
			hint = "; it ships with the program: take it into your book under Book, Materials, To begin with"
		}
		return Problem{"material", fmt.Sprintf("there is no material %q to cut the features of operation %d in%s", mat, op.Number, hint), true}, false
	}
	// Rows of a misspelt material would just not be found, and every tool be unsuitable.
	if name, unknown := m.def.Data.Unknown(m.def.Materials, mat); unknown {
		return Problem{"material", fmt.Sprintf("%s cuts as %s, of which neither the book nor the reference rows know", mat, name), true}, false
	}
	// Here and not in New: only an estimate that cuts something needs to hear it.
	m.warn()
	o.search = rates.ToolSearch{Tools: m.def.Tools, Data: m.def.Data, Centre: op.WorkCentre, Materials: o.mat.Names, Day: m.def.Day}
	o.changeShare()
	return problem, true
}

func (o *operation) fail(field, format string, args ...any) {
	o.problems = append(o.problems, Problem{Field: field, Message: fmt.Sprintf(format, args...)})
}

func (o *operation) lack(field, format string, args ...any) {
	o.problems = append(o.problems, Problem{field, fmt.Sprintf(format, args...), true})
}

// minuteCost is what a minute at the machine costs: machine rate + labour rate ×
// attended share, by which tools are compared. Overheads are left out.
func (o *operation) minuteCost(r Rates) {
	s := o.s.By("C2")
	// The person is paid for the share of the time they are tied to the machine (M16).
	labour := r.Labour
	if labour != graph.None && o.op.AttendedShare != nil {
		share := s.Shared("attended-share", "attended share", graph.Plain, *o.op.AttendedShare, "attended_share")
		labour = s.Multiply("labour-attended", "labour rate by hour of the machine", labour, share)
	}
	hour := s.Total("hour-cost", "cost of an hour of machine and labour", r.Machine, labour)
	o.minute = s.Convert("minute-cost", "cost of a minute of machine and labour", hour, graph.Hour, graph.Minute)
}

// changeShare is one tool change by piece of a full load. Turned pieces are made
// one after another, those of one bar too, so that each takes all its tools.
func (o *operation) changeShare() {
	o.share = o.centre.Change
	if o.share == graph.None || o.op.PiecesPerLoad == nil || o.turns() {
		return
	}
	o.share = o.s.By("M14").Divide("change-share", "one tool change by piece of a load", o.centre.Change, o.loadPieces())
}

// loadPieces is the pieces of a load as a plain number.
func (o *operation) loadPieces() graph.ID {
	s := o.s.By("M14")
	per := s.Shared("pieces-per-load", "pieces per load", graph.Piece, *o.op.PiecesPerLoad, "pieces_per_load")
	return s.Divide("load-pieces", "pieces per load, a plain number", per, s.One(graph.Piece))
}

// turns reports whether the piece turns and not the tool.
func (o *operation) turns() bool {
	return slices.ContainsFunc(o.op.Features, func(f bom.Feature) bool {
		// One kind stands for all: no feature is cut by turning tools and by rotating ones.
		kinds := f.Kind.ToolKinds()
		return len(kinds) > 0 && !kinds[0].Rotates()
	})
}

// feature writes one feature with every tool that may cut it, and chooses.
func (o *operation) feature(i int) {
	f := &o.op.Features[i]
	path := fmt.Sprintf("features[%d]", i)
	if faults := f.Faults(); len(faults) > 0 {
		for _, fault := range faults {
			o.fail(strings.TrimSuffix(path+"."+fault.Field, "."), "%s", fault.Message)
		}
		return
	}
	if lacks := f.Lacks(); lacks != "" {
		o.lack(path, "%s", lacks)
		return
	}
	s := o.s.In("feature", string(f.ID)).Within(path).Also(", " + f.Name)
	w := work{operation: o, Feature: feature.New(s, f), path: path}
	if f.Kind.ByHand() {
		w.byHand()
		return
	}
	if w.Rough() {
		w.Achieved = o.roughness(f.Kind)
	}
	w.tools()
}

// roughness is what is measured ÷ what theory says, of this machine and material;
// two where the shop has not measured. Theory is a clean print of the nose;
// vibration, built-up edge and wear come on top (M9).
func (o *operation) roughness(kind bom.FeatureKind) graph.ID {
	const label = "roughness measured ÷ theoretical"
	at, ok := rates.FactorFor(o.def.Factors, o.op.WorkCentre, kind, o.mat.Names, o.def.Day, func(f rates.Factor) bool { return f.Roughness != nil })
	if ok {
		return o.factor(at).Shared("roughness", label, graph.Plain, *o.def.Factors[at].Roughness, "roughness")
	}
	s := o.root.In("cutting").From(graph.Source{Where: "assumption", Cite: reference.FromMemory})
	return s.Shared("roughness-factor", label, graph.Plain, bom.Whole(2), "")
}

func (o *operation) factor(at int) graph.Scope {
	f := o.def.Factors[at]
	keys := []string{string(f.WorkCentre), string(f.Feature)}
	if f.Material != "" {
		keys = append(keys, string(f.Material))
	}
	return o.root.In("factor").In(keys...).Of("measured at " + string(f.WorkCentre)).From(graph.Source{
		Where: "factor " + string(f.ID), Path: fmt.Sprintf("factors[%d]", at), Cite: f.Source})
}

// minutesFactor is what is measured ÷ what is computed; None where the shop has
// not measured.
func (o *operation) minutesFactor(kind bom.FeatureKind) graph.ID {
	at, ok := rates.FactorFor(o.def.Factors, o.op.WorkCentre, kind, o.mat.Names, o.def.Day, func(f rates.Factor) bool { return f.Minutes != nil })
	if !ok {
		return graph.None
	}
	return o.factor(at).Shared("minutes", "minutes measured ÷ computed", graph.Plain, *o.def.Factors[at].Minutes, "minutes")
}

// need notes that a load takes a tool, always (choice is None) or as chosen.
func (o *operation) need(k *feature.Cutter, choice graph.ID) {
	n := o.needs[k.ID]
	if n == nil {
		n = &toolNeed{name: k.Name}
		o.needs[k.ID] = n
	}
	if choice == graph.None {
		n.always = true
	} else {
		n.choices = append(n.choices, choice)
	}
}

// result adds up the features.
func (o *operation) result() routing.Cut {
	s := o.s.By("M14")
	piece := s.One(graph.Piece)
	per := func(name, label string, ids []graph.ID) graph.ID {
		all := s.Sum(name+"-features", label+" of all features", ids...)
		return s.Divide(name, label+" per piece", all, piece)
	}
	out := routing.NoCut()
	out.Cutting = per("cutting", "cutting time", o.sums.cutting)
	out.Positioning = per("positioning", "positioning time", o.sums.rapid)
	out.WornEdge = per("worn-edge", "share of edge changes", o.sums.change)
	out.ToolsPerPiece = per("tools-per-piece", "worn edges", o.sums.tools)
	out.Removed = per("removed", "volume taken away", o.sums.removed)
	out.Area = per("area", "surface gained", o.sums.area)
	if len(o.needs) > 0 {
		out.Setup, out.Program, out.Tools = o.setup(), o.program(), o.distinct(s)
	}
	if len(o.needs) > 0 && o.centre.Change != graph.None {
		// A tool that several features of a load use is changed in once, though each of them
		// bore a whole change when its tool was chosen.
		changes := []graph.ID{out.Tools, o.centre.Change}
		if o.op.PiecesPerLoad != nil && o.turns() {
			changes = append(changes, o.loadPieces())
		}
		out.ToolChanges = s.Multiply("tool-changes", "tool changes per load", changes...)
	}
	if o.op.PositioningMin != nil {
		// In addition (M14): what no feature knows of, such as turning a table.
		entered := s.Number("positioning-entered", "further positioning time", graph.Minute.Per(graph.Piece), *o.op.PositioningMin, "positioning_min")
		out.Positioning = s.Sum("positioning-all", "positioning time per piece, with what is entered", out.Positioning, entered)
	}
	return out
}

// distinct is the number of different tools that a load takes.
func (o *operation) distinct(s graph.Scope) graph.ID {
	var ones []graph.ID
	for _, id := range slices.Sorted(maps.Keys(o.needs)) {
		one, n := s.One(graph.Plain), o.needs[id]
		if !n.always {
			// One if any feature has chosen it: as a figure, since other rates choose otherwise.
			one = s.Maximum("uses/"+string(id), "the operation uses "+n.name, n.choices...)
		}
		ones = append(ones, one)
	}
	return s.Add("tools-used", "different tools", ones...)
}
