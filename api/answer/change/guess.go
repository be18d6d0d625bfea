package change

import (
	"cmp"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/costing/making/guess"
	"kerfbook/costing/rates"
)

// GuessAnswer says what is guessed of a part.
type GuessAnswer struct {
	Field string
	Value bom.Number
}

// Cut is something said to be cut into a part, CutShape what may be said of it, CutSide how it
// may lie.
type (
	Cut      = guess.Cut
	CutShape = guess.Shape
	CutSide  = guess.Side
	Surface  = guess.Surface
)

// Said is what somebody says of a part that is guessed at.
type Said struct {
	Guesses []GuessAnswer
	Cuts    []Cut
	All     bool // nothing else is cut into it
	Second  bool // it is faced on its second side too
	Ra      *Surface
	Away    string // operation and id of a feature that is not, as 10/3-hole-5
	Counted []bom.CountAnswer
	Entered map[bom.Matter]bom.Number // minutes of a piece of matters that had no figure; of scrap, pieces lost of 100; of programming, minutes for the part
	Over    bom.Number                // pieces that the programming is spread over
	Finish  bom.ID                    // outside process of the book, or one that a shop can begin with
	Layer   *bom.Number               // µm of it
	Hour    *bom.Number               // of somebody and the machine, of a part that HourOf has one of
}

// HourOf is one hour of somebody and the machine that a part is made at; ok is false where that
// is not one number.
func HourOf(b *book.Book, def *bom.Part) (guess.Hour, bool) { return guess.HourOf(def, b.WorkCentre) }

// FinishOf is the last outside process that a part goes to; nil where it goes to none.
func FinishOf(b *book.Book, def *bom.Part) *rates.Process {
	for _, o := range slices.Backward(def.Routing) {
		if o.Kind == bom.Outside && o.Treatment != nil {
			p, _ := b.Process(o.Treatment.Process)
			return p
		}
	}
	return nil
}

// Questions lists what is guessed of a part and its finish.
func Questions(b *book.Book, def *bom.Part) []guess.Question {
	out := guess.Questions(def)
	if p := FinishOf(b, def); p != nil && def.FirstGuess != nil {
		out = append(out, guess.Charged(p)...)
	}
	return out
}

// OfFinish reports a question about the prices of a finish.
func OfFinish(field string) bool { return guess.OfFinish(field) }

// RestOf is what was said that the rest on the machine takes of a piece.
func RestOf(def *bom.Part) *bom.Number { return guess.Rest(def) }

// AnsweredIn is a book with a question about the part at a place answered.
func AnsweredIn(b *book.Book, at int, a GuessAnswer) *book.Book {
	out := *b
	if guess.OfFinish(a.Field) {
		_, place := b.Process(FinishOf(b, &b.Parts[at]).ID)
		out.Processes = slices.Clone(b.Processes)
		out.Processes[place] = guess.Recharged(b.Processes[place], a.Field, a.Value)
		return &out
	}
	out.Parts = slices.Clone(b.Parts)
	out.Parts[at], _ = guess.Answered(&b.Parts[at], a.Field, a.Value)
	return &out
}

// ShapesOf lists what may be said to be cut into a part; nothing where its minutes are
// entered whole.
func ShapesOf(b *book.Book, def *bom.Part) []CutShape {
	if def.FirstGuess == nil {
		return nil
	}
	routed := guess.Routed(def)
	at := slices.IndexFunc(routed.Routing, func(o bom.Operation) bool { return o.Kind == bom.Machining })
	if at < 0 || routed.Routing[at].PieceMin != nil || routed.Routing[at].CuttingMin != nil {
		return nil
	}
	out := guess.Shapes(def.FirstGuess.Way)
	for i := range out {
		if len(out[i].Sides) > 0 {
			out[i].Sides = append(out[i].Sides, acrossAxis(b, routed.Routing[at].WorkCentre)...)
		}
	}
	return out
}

// PriceAsFor is a part before it that is guessed at of the same material, with a price of it: the same,
// where the part has one. The last of the book goes first.
func PriceAsFor(b *book.Book, def *bom.Part) *bom.Part {
	if def.FirstGuess == nil {
		return nil
	}
	before := len(b.Parts) // of a part that is not in the book yet
	if _, at := b.Part(def.Number); at >= 0 {
		before = at
	}
	for i := before - 1; i >= 0; i-- {
		g, own := b.Parts[i].FirstGuess, def.FirstGuess
		if g != nil && g.PricePerKg != nil && g.Material == own.Material && (own.PricePerKg == nil || own.PricePerKg.Equal(*g.PricePerKg)) {
			return &b.Parts[i]
		}
	}
	return nil
}

// RaAsked reports whether a roughness can be said of a part: it is turned, where the feed that
// finishes follows from it.
func RaAsked(def *bom.Part) bool { return def.FirstGuess != nil && def.FirstGuess.Way == bom.Turned }

// SecondSide reports whether a part can still be faced on its second side.
func SecondSide(def *bom.Part) bool { return guess.SecondSide(def) }

// NotYet says what is usual of such a part and not entered yet.
func NotYet(def *bom.Part) []string { return guess.NotYet(def) }

// acrossAxis lists where a shape can be cut across the axis: in a clamping of its own, at any
// machine but the one that turns or at one to begin with, or there by a driven tool.
func acrossAxis(b *book.Book, turns bom.ID) (out []CutSide) {
	mills := false
	for i := range b.WorkCentres {
		if w := &b.WorkCentres[i]; w.ID != turns {
			out = append(out, guess.Across(w.ID, "at the "+w.Name))
			mills = mills || strings.Contains(strings.ToLower(string(w.ID)+w.Name), "mill")
		}
	}
	for _, m := range beginAcross {
		if have, _ := b.WorkCentre(m.centre); have == nil && !(mills && m.centre == SmallMill) {
			out = append(out, guess.Across(m.centre, "at a "+m.words+" (comes with the program)"))
		}
	}
	return append(out, guess.Across(turns, "in the same clamping"))
}

// Answered is the next revision of a part of which something was said, and what the shop
// begins with so that it can be made: tools for what is cut into it, its material and
// finish, as records that say where they come from.
func (s *Shelf) Answered(number string, said Said) ([]Draft, error) {
	if _, _, err := s.Part(number); err != nil {
		return nil, err
	}
	var more []Draft
	var err error
	b := s.Book
	_, at := b.Part(bom.ID(number))
	for _, a := range said.Guesses {
		if !slices.ContainsFunc(Questions(b, &b.Parts[at]), func(q guess.Question) bool { return q.Takes(a.Field) }) {
			return nil, answer.Errorf(answer.Conflict, "%s is not guessed of part %s any more", a.Field, number)
		}
		if b = AnsweredIn(b, at, a); guess.OfFinish(a.Field) {
			p := FinishOf(b, &b.Parts[at])
			d, err := s.revised("outside_processes", p.ID, *p)
			if err != nil {
				return nil, err
			}
			more = []Draft{d}
		}
	}
	part := b.Parts[at]
	hours, machines, err := s.hourly(&part, said.Hour)
	if err != nil {
		return nil, err
	}
	if operation, feature, some := strings.Cut(said.Away, "/"); some {
		place, _ := strconv.Atoi(operation) // 0 is none
		var had bool
		if part, had = guess.TakenAway(&part, place, bom.ID(feature)); !had {
			return nil, answer.Errorf(answer.Conflict, "there is no %s in part %s any more", bom.Shorten(feature), number)
		}
	}
	var comes rates.Starter
	if said.Finish != "" {
		if part, comes, err = finished(s.Book, part, said.Finish, said.Layer); err != nil {
			return nil, err
		}
	}
	for _, what := range slices.Sorted(maps.Keys(said.Entered)) {
		if figure := said.Entered[what]; what == bom.Programming {
			part.ProgrammingMin, part.ProgramsOver = &figure, &said.Over
		} else {
			part = entered(part, what, figure)
		}
	}
	if len(said.Cuts) > 0 || said.All || said.Second || said.Ra != nil {
		if part, err = guess.CutInto(&part, said.Cuts, said.All, said.Second && guess.SecondSide(&part), said.Ra); err != nil {
			return nil, answer.Unexpected(err)
		}
		if said.Ra != nil {
			if lacks := said.Ra.Lacks(&part); lacks != "" {
				return nil, answer.Invalidf("surface: %s is finished yet; tick too that that is all that is cut into it", lacks)
			}
		}
	}
	if comes.Tools, comes.Materials, err = begun(s.Book, &part); err == nil {
		comes.Machines, err = begunAcross(hours, &part)
	}
	if err != nil {
		return nil, answer.Unexpected(err)
	}
	now := func(c bom.CountAnswer) bool {
		return slices.ContainsFunc(said.Counted, func(now bom.CountAnswer) bool { return now.What == c.What })
	}
	part.NotCounted = append(slices.DeleteFunc(slices.Clone(part.NotCounted), now), said.Counted...)
	d, err := partDraft(part)
	if err != nil {
		return nil, err
	}
	taken, err := taking(s.Book, comes)
	return slices.Concat([]Draft{d}, more, machines, taken.Drafts), err
}

// hourly is the book with another hour where a part is made, as it is with none, and the next
// revisions of its machines.
func (s *Shelf) hourly(part *bom.Part, rate *bom.Number) (out *book.Book, drafts []Draft, err error) {
	if rate == nil {
		return s.Book, nil, nil
	}
	hour, ok := HourOf(s.Book, part)
	if !ok {
		return nil, nil, answer.Errorf(answer.Conflict, "the hour of part %s is not one number any more", part.Number)
	}
	out = new(book.Book)
	*out = *s.Book
	out.WorkCentres = slices.Clone(out.WorkCentres)
	for _, w := range hour.At(*rate) {
		d, err := s.revised("work_centres", w.ID, w)
		if err != nil {
			return nil, nil, err
		}
		_, at := out.WorkCentre(w.ID)
		out.WorkCentres[at], drafts = w, append(drafts, d)
	}
	return out, drafts, nil
}

// The machines that a shop begins with to cut a turned part across its axis.
const (
	DrillPress bom.ID = "DRILL-PRESS"
	SmallMill  bom.ID = "MILL-SMALL"
)

var beginAcross = []struct {
	centre, starter bom.ID
	words           string
}{{DrillPress, "machine-drill-press", "drill press"}, {SmallMill, "machine-mill-small", "mill"}}

// begunAcross gives the machines of the starters at which a part is cut and that the book does
// not have. The wage there is that of the part's first machine; where a shop says one hour of
// both, it is that hour, of which most is a person's.
func begunAcross(b *book.Book, part *bom.Part) (out []rates.WorkCentre, err error) {
	all, err := rates.Starters()
	for _, m := range beginAcross {
		have, _ := b.WorkCentre(m.centre)
		if have != nil || !slices.ContainsFunc(part.Routing, func(o bom.Operation) bool { return o.WorkCentre == m.centre }) {
			continue
		}
		s, _ := rates.StarterOf(all, m.starter)
		at := slices.IndexFunc(part.Routing, func(o bom.Operation) bool { return o.Kind == bom.Machining })
		first, _ := b.WorkCentre(part.Routing[at].WorkCentre)
		for _, comes := range s.Machines {
			if first != nil {
				comes.LabourRatePerH, comes.Wage = first.LabourRatePerH, cmp.Or(first.Wage, first.OwnHour)
				if paid := first.LabourRatePerH; paid != nil && paid.Likely.IsZero() {
					comes.LabourRatePerH = first.MachineRatePerH
				}
			}
			out = append(out, comes)
		}
	}
	return out, err
}

// revised is the next revision of a record that a part rests on.
func (s *Shelf) revised(kind string, id bom.ID, value any) (Draft, error) {
	k, err := KindOf(kind)
	if err != nil {
		return Draft{}, err
	}
	d, err := NewDraft(k, string(id), reflect.ValueOf(value), nil)
	held, _ := s.Find(k.Name, string(id))
	d.IfMatch = held.Version()
	return d, answer.Unexpected(err)
}

// entered is a part with a figure for a matter that had none: minutes of loading or moves, or of work
// by hand, checking or packing after it comes off the machine; pieces of 100 lost on it.
func entered(part bom.Part, what bom.Matter, figure bom.Number) bom.Part {
	part.Routing = slices.Clone(guess.Routed(&part).Routing)
	at := slices.IndexFunc(part.Routing, func(o bom.Operation) bool { return o.Kind == bom.Machining })
	if at < 0 {
		return part // nobody asks for it then
	}
	op := &part.Routing[at]
	switch what {
	case bom.Loading:
		op.LoadHandlingMin = &figure
		return part
	case bom.Moves: // of all its clampings; the rest on the machine, said with it, holds them
		timed := slices.IndexFunc(part.Routing, func(o bom.Operation) bool { return o.Kind == bom.Machining && o.PieceMin == nil })
		if timed < 0 || slices.ContainsFunc(part.NotCounted, func(c bom.CountAnswer) bool { return c.What == bom.Moves }) {
			return part
		}
		op = &part.Routing[timed]
		op.PositioningMin = &figure
		part.NotCounted = append(slices.Clone(part.NotCounted), bom.CountAnswer{What: bom.Moves, Answer: bom.EnteredHere, Where: "positioning of " + op.Name})
		return part
	case bom.Scrap: // found when all work of the shop is in it, before it goes out
		for i := at + 1; i < len(part.Routing) && part.Routing[i].Kind != bom.Outside; i++ {
			if part.Routing[i].Kind != bom.Packs {
				op = &part.Routing[i]
			}
		}
		yield := guess.Yield(figure)
		op.Yield = &yield
		return part
	}
	if what == bom.Packing {
		return comesLast(part, bom.Operation{Name: "packing", Kind: bom.Packs, WorkCentre: op.WorkCentre, PieceMin: &figure})
	}
	next := bom.Operation{Number: op.Number + 1, Name: "work by hand", Kind: bom.Manual, WorkCentre: op.WorkCentre, PieceMin: &figure}
	if what == bom.Checking {
		next.Name, next.Kind = "checking", bom.Inspection
	}
	for slices.ContainsFunc(part.Routing, func(o bom.Operation) bool { return o.Number == next.Number }) {
		next.Number++
	}
	part.Routing = append(part.Routing, next)
	slices.SortStableFunc(part.Routing, func(a, b bom.Operation) int { return cmp.Compare(a.Number, b.Number) })
	return part
}

// finished is a part that goes to an outside process after all else, with the process
// where the shop begins with it. The finest outer thread is held against its layer.
func finished(b *book.Book, part bom.Part, process bom.ID, layer *bom.Number) (bom.Part, rates.Starter, error) {
	var comes rates.Starter
	p, _ := b.Process(process)
	if p == nil {
		all, err := rates.StarterFinishes(part.FirstGuess.Material)
		if err != nil {
			return part, comes, answer.Unexpected(err)
		}
		at := slices.IndexFunc(all, func(p rates.Process) bool { return p.ID == process })
		if at < 0 {
			return part, comes, answer.Invalidf("there is no finish %s for it", bom.Shorten(string(process)))
		}
		p, comes.Processes, comes.Suppliers = &all[at], all[at:at+1], []rates.Supplier{rates.Finisher}
	}
	if layer != nil && p.Finish == "" {
		return part, comes, answer.Invalidf("%s leaves no layer: leave its thickness out", p.Name)
	}
	part.Routing = slices.Clone(guess.Routed(&part).Routing)
	treatment := bom.Treatment{Process: p.ID, ThicknessUM: layer}
	for _, o := range part.Routing {
		for i := range o.Features {
			f := &o.Features[i]
			if pitch := treatment.ThreadPitchMM; layer != nil && f.ExternalThread() && f.PitchMM != nil && (pitch == nil || f.PitchMM.Likely.LessThan(pitch.Likely)) {
				treatment.ThreadPitchMM = f.PitchMM
			}
		}
	}
	return comesLast(part, bom.Operation{Name: p.Name, Kind: bom.Outside, Treatment: &treatment}), comes, nil
}

// comesLast is a part with an operation after all others, but before it is packed.
func comesLast(part bom.Part, op bom.Operation) bom.Part {
	at := len(part.Routing)
	if op.Number = part.Routing[at-1].Number + 10; part.Routing[at-1].Kind == bom.Packs {
		at--
		op.Number, part.Routing[at].Number = part.Routing[at].Number, op.Number
	}
	part.Routing = slices.Insert(part.Routing, at, op)
	return part
}

// begun gives the tools of starter sets that the features of a part want and the book
// does not have, and its material where that ships with the program.
func begun(b *book.Book, part *bom.Part) (tools []bom.Tool, materials []rates.Material, err error) {
	for i := range part.Routing {
		op := &part.Routing[i]
		for j := range op.Features {
			f := &op.Features[j]
			cuts := func(t bom.Tool) bool {
				return slices.Contains(f.Kind.ToolKinds(), t.Kind) && t.Misfit(f, op.WorkCentre) == ""
			}
			if f.Kind.ByHand() || len(f.Tools) > 0 || slices.ContainsFunc(b.Tools, cuts) || slices.ContainsFunc(tools, cuts) {
				continue
			}
			t, ok, err := rates.StarterTool(f)
			if err != nil {
				return nil, nil, err
			}
			if ok {
				tools = append(tools, t)
			}
		}
	}
	cuts := slices.ContainsFunc(part.Routing, func(o bom.Operation) bool { return len(o.Features) > 0 })
	if part.FirstGuess == nil || !cuts {
		return tools, nil, nil
	}
	all, err := rates.Starters()
	if material, ok := rates.StarterOf(all, part.FirstGuess.Material); ok { // what is unknown the estimate says
		materials = material.Materials
	}
	return tools, materials, err
}
