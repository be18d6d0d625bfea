package bom

import (
	"slices"

	"github.com/shopspring/decimal"
)

// Way is how a part is made, as far as is said of one that is hardly described yet.
type Way string

// The ways of making.
const (
	Turned Way = "turned" // from round bar
	Milled Way = "milled" // from a block
	Cut    Way = "plate"  // from plate or sheet that keeps its thickness
)

// Values lists the words of the book.
func (Way) Values() []string { return []string{string(Turned), string(Milled), string(Cut)} }

// FirstGuess makes a part of which only way of making, material and outer size are known
// one with a band of cost: what is not entered of its stock, set-up and minutes follows
// from starter ranges. Each range goes when something is entered in its place.
type FirstGuess struct {
	Way        Way `book:"way,required"`
	Material   ID  `book:"material,required"` // of the shop, or one that ships with the program
	WorkCentre ID  `book:"work_centre"`       // where it is made, while it has no routing
	// PricePerKg is what a kilogram of the material costs, in the currency of the book.
	PricePerKg *Number `book:"price_per_kg,min=0"`
	// FeaturesEntered says that the features entered are all there are, so that only moves, tool
	// changes and loading are guessed beside them, until they are entered too.
	FeaturesEntered bool `book:"features_entered"`
}

// timed reports that a time per piece, or what it is made of, has been entered.
func (o *Operation) timed() bool {
	return o.PieceMin != nil || o.LoadMin != nil || o.CuttingMin != nil || len(o.Characteristics) > 0
}

// Guessed says which times of an operation of its routing a part leaves to its first
// guess: those of its first operation that machines, the time of its first by hand and of its
// first that checks, and what a further clamping takes beside the features that are cut in it.
func (p *Part) Guessed(op *Operation) (piece, setup bool) {
	if p.FirstGuess == nil || p.Kind != Made || op.Kind != Machining && op.Kind != Manual && op.Kind != Inspection {
		return false, false
	}
	if op.Kind == Machining && len(op.Features) > 0 && !p.FirstMachined(op) {
		return !op.timed() && op.HandlingMin == nil && op.LoadHandlingMin == nil, op.SetupMin == nil
	}
	first := slices.IndexFunc(p.Routing, func(o Operation) bool { return o.Kind == op.Kind })
	if first < 0 || p.Routing[first].Number != op.Number {
		return false, false
	}
	piece = !op.timed() && !(p.FirstGuess.FeaturesEntered && len(op.Features) > 0 && (op.HandlingMin != nil || op.LoadHandlingMin != nil))
	return piece, op.Kind == Machining && op.SetupMin == nil
}

// What contains a matter, in the words of an answer to a first guess.
const (
	BesideCutting  = "handling beside the cutting"
	RestOfMachine  = "the rest on the machine" // with what else is cut
	MachineMinutes = "the minutes on the machine"
	HandMinutes    = "the minutes by hand"
)

// Holds reports that what a word on a matter of an operation names is there; of is nil for a
// matter of the part. Minutes that an answer to a first guess gave may have gone since, and hold
// nothing of another operation.
func (p *Part) Holds(word CountAnswer, of *Operation) bool {
	switch word.Where {
	case BesideCutting, RestOfMachine:
		return of != nil && of.HandlingMin != nil
	case MachineMinutes:
		return of != nil && of.PieceMin != nil
	case HandMinutes:
		return slices.ContainsFunc(p.Routing, func(o Operation) bool { return o.Kind == Manual && o.PieceMin != nil })
	}
	return true
}

// FirstMachined reports the machining operation that a first guess is made at.
func (p *Part) FirstMachined(op *Operation) bool {
	at := slices.IndexFunc(p.Routing, func(o Operation) bool { return o.Kind == Machining })
	return at >= 0 && p.Routing[at].Number == op.Number
}

// SizeClass is how large a part is for a first guess, by its largest direction.
type SizeClass string

// The largest part of each class, in mm. Beyond the last there is no first guess.
var sizeClasses = []struct {
	class SizeClass
	most  int64
}{{"small", 40}, {"medium", 120}, {"large", 300}}

// Values lists the words of the rows.
func (SizeClass) Values() []string {
	var out []string
	for _, c := range sizeClasses {
		out = append(out, string(c.class))
	}
	return out
}

// SizeClass gives the class of a finished size, at likely values; ok is false of one
// that is too large, or not known.
func (e *Envelope) SizeClass() (class SizeClass, ok bool) {
	if e == nil {
		return "", false
	}
	largest := decimal.Zero
	for _, n := range []*Number{e.LengthMM, e.WidthMM, e.ThicknessMM, e.DiameterMM} {
		if n != nil {
			largest = decimal.Max(largest, n.Likely)
		}
	}
	for _, c := range sizeClasses {
		if largest.IsPositive() && largest.LessThanOrEqual(decimal.NewFromInt(c.most)) {
			return c.class, true
		}
	}
	return "", false
}

// Sized reports whether the finished size has what a way of making asks for.
func (w Way) Sized(e *Envelope) bool {
	switch {
	case e == nil || e.LengthMM == nil:
		return false
	case w == Turned:
		return e.DiameterMM != nil
	}
	return e.WidthMM != nil && e.ThicknessMM != nil
}
