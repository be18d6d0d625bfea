package rates

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/reference"
)

// FinishKind is the kind of finish that an outside process gives.
type FinishKind string

// The kinds of finish for which there are reference rows.
const (
	ElectrolessNickel FinishKind = "electroless_nickel"
	Anodising         FinishKind = "anodising" // decorative and protective, sulphuric
	HardAnodising     FinishKind = "hard_anodising"
	Nickel            FinishKind = "nickel" // electroplated, as the metals below
	Chromium          FinishKind = "chromium"
	Zinc              FinishKind = "zinc"
	Tin               FinishKind = "tin"
	Silver            FinishKind = "silver"
	Gold              FinishKind = "gold"      // soft or decorative, nearly pure
	HardGold          FinishKind = "hard_gold" // from an acid bath, for contacts
	Passivation       FinishKind = "passivation"
	BlackOxide        FinishKind = "black_oxide"
	Powder            FinishKind = "powder"
	Lacquer           FinishKind = "lacquer" // clear
	Vibratory         FinishKind = "vibratory"
)

// Values lists the words of the book.
func (FinishKind) Values() []string {
	return []string{"electroless_nickel", "anodising", "hard_anodising", "nickel", "chromium", "zinc", "tin", "silver", "gold", "hard_gold",
		"passivation", "black_oxide", "powder", "lacquer", "vibratory"}
}

// Words is the kind as a person says it.
func (k FinishKind) Words() string { return strings.ReplaceAll(string(k), "_", " ") }

// Phosphorus is how much phosphorus a nickel deposit holds.
type Phosphorus string

// Values lists the words of the book.
func (Phosphorus) Values() []string { return []string{"low", "mid_low", "mid", "high"} }

// Finishes are the reference rows of finishes.
type Finishes struct {
	Classes  []FinishClass     `book:"finish_classes"`
	Deposits []NickelDeposit   `book:"nickel_deposits"`
	Growth   []FinishGrowth    `book:"finish_growth"`
	Coatings []FinishCoating   `book:"finish_coatings"`
	Baths    []FinishBath      `book:"finish_baths"`
	Usual    []FinishThickness `book:"finish_thicknesses"`
	Threads  []ThreadRoom      `book:"thread_allowances"`
}

// FinishClass is a class of a standard: the least thickness it asks for, or the
// thicknesses that are usual where it asks for none.
type FinishClass struct {
	ID           bom.ID      `book:"id,required"`
	Finish       FinishKind  `book:"finish,required"`
	Name         string      `book:"name,required"`
	Standard     string      `book:"standard,required"`
	LeastUM      *bom.Number `book:"least_um,over=0"` // on average
	LeastLocalUM *bom.Number `book:"least_local_um,over=0"`
	UsualFromUM  *bom.Number `book:"usual_from_um,over=0"`
	UsualToUM    *bom.Number `book:"usual_to_um,over=0"`
	Cited

	// Percent of phosphorus, of a designation that names it.
	Percent *bom.Number `book:"-"`
}

// NickelDeposit is what a level of phosphorus makes of a deposit.
type NickelDeposit struct {
	Level       Phosphorus `book:"level,required"`
	FromPercent bom.Number `book:"from_percent,required,over=0"`
	ToPercent   bom.Number `book:"to_percent,required,over=0"`
	DensityGCM3 bom.Number `book:"density_g_cm3,required,over=0"`
	DepositUMH  bom.Number `book:"deposit_um_h,required,over=0"`
	Cited
}

// FinishGrowth is the share of its thickness by which a finish makes a surface
// grow.
type FinishGrowth struct {
	Finish FinishKind `book:"finish,required"`
	Share  bom.Number `book:"share,required,min=0,max=1"`
	// RemovedUM is what a finish takes off each surface that leaves no layer.
	RemovedUM *bom.Number `book:"removed_um,over=0"`
	// EdgeRadius is the least radius of edges, in thicknesses.
	EdgeRadius *bom.Number `book:"edge_radius_per_thickness,over=0"`
	Cited
}

// FinishCoating is what a layer consists of.
type FinishCoating struct {
	Finish      FinishKind `book:"finish,required"`
	Symbol      string     `book:"symbol"` // of the metal, as designations have it: Fe/Zn8
	Standard    string     `book:"standard"`
	DensityGCM3 bom.Number `book:"density_g_cm3,required,over=0"`
	// PerFaradayG is the molar mass by the valence: what one faraday deposits at an
	// efficiency of 1.
	PerFaradayG *bom.Number `book:"per_faraday_g,over=0"`
	Cited
}

// FinishBath is how a bath deposits a metal, on a rack.
type FinishBath struct {
	Finish      FinishKind `book:"finish,required"`
	Efficiency  bom.Number `book:"efficiency,required,over=0,max=1"`
	CurrentADM2 bom.Number `book:"current_a_dm2,required,over=0"`
	Cited
}

// FinishThickness is how thick a finish usually is.
type FinishThickness struct {
	Finish  FinishKind `book:"finish,required"`
	UsualUM bom.Number `book:"usual_um,required,over=0"`
	Cited
}

// ThreadRoom is how far an external thread of position g stays below the thread
// without play: the room that a coating may fill.
type ThreadRoom struct {
	PitchMM     bom.Number `book:"pitch_mm,required,over=0"`
	AllowanceUM bom.Number `book:"allowance_um,required,over=0"`
	Cited
}

// ReferenceFinishes gives the rows of finishes that ship with the program.
var ReferenceFinishes = reference.Rows[Finishes]("finishes.yaml")

// UnknownClassError is a class that a finish does not have.
type UnknownClassError struct {
	Class  string
	Finish FinishKind
	Symbol string // of the metal, where designations name it
	Known  []string
}

func (e *UnknownClassError) Error() string {
	also := ""
	switch {
	case e.Finish == ElectrolessNickel:
		also = ", and designations after ISO 4527 such as NiP(10)15: 10 % phosphorus, 15 µm"
	case e.Symbol != "":
		also = fmt.Sprintf(", and designations such as Fe/%s10: 10 µm on steel", e.Symbol)
	case len(e.Known) == 0:
		return fmt.Sprintf("%s has no classes; delete class and give thickness_um where there is a layer", e.Finish.Words())
	}
	return fmt.Sprintf("%.40q is no class of %s; known are %s%s", e.Class, e.Finish.Words(), strings.Join(e.Known, ", "), also)
}

// designation is that of ISO 4527: NiP, the share of phosphorus in per cent and
// the least thickness in µm. The base alloy may stand before it, a heat treatment
// after it.
// Source `iso-4527`.
var designation = regexp.MustCompile(`^(?:.{0,60}/)?NiP\(([0-9]{1,2}(?:\.[0-9]{1,2})?)\)([0-9]{1,4}(?:\.[0-9]{1,3})?)(?:\[[^\]]{0,40}\])?$`)

// Class gives the class of a finish with a name, or what a designation says. The
// error is an *UnknownClassError.
func (f Finishes) Class(finish FinishKind, name string) (reference.Row[FinishClass], error) {
	e := &UnknownClassError{Class: name, Finish: finish}
	for _, c := range f.Classes {
		if c.Finish != finish {
			continue
		}
		if string(c.ID) == name {
			return reference.Row[FinishClass]{Value: c, Provenance: c.told(finishRows + "class " + name + ", " + c.Standard)}, nil
		}
		e.Known = append(e.Known, string(c.ID))
	}
	if coating, known := f.CoatingOf(finish); known && coating.Value.Symbol != "" {
		e.Symbol = coating.Value.Symbol
		return layer(coating.Value, name, e)
	}
	found := designation.FindStringSubmatch(name)
	if found == nil || finish != ElectrolessNickel {
		return reference.Row[FinishClass]{}, e
	}
	percent, err1 := bom.ParseDecimal(found[1])
	least, err2 := bom.ParseDecimal(found[2])
	if cmp.Or(err1, err2) != nil || !least.IsPositive() {
		return reference.Row[FinishClass]{}, e
	}
	p, t := bom.Exactly(percent), bom.Exactly(least)
	return reference.Row[FinishClass]{Value: FinishClass{Finish: finish, Name: name, Standard: "ISO 4527", LeastUM: &t, Percent: &p}}, nil
}

// layerForm is one layer of a designation: its metal, the least thickness in µm and
// the kind of deposit.
var layerForm = regexp.MustCompile(`^([A-Z][a-z])([0-9]{1,3}(?:\.[0-9]{1,3})?)[a-z]{0,2}$`)

// layer reads the layer of a metal in a designation that names base and layers in
// turn, as in Cu/Ni5b Au0.5. Such are those of ISO 1456, 2081 and 4521.
// Source `plating-designations`.
func layer(of FinishCoating, name string, unknown error) (reference.Row[FinishClass], error) {
	if len(name) > 60 {
		return reference.Row[FinishClass]{}, unknown
	}
	for _, word := range strings.FieldsFunc(name, func(r rune) bool { return r == '/' || r == ' ' }) {
		found := layerForm.FindStringSubmatch(word)
		if found == nil || found[1] != of.Symbol {
			continue
		}
		if least, err := bom.ParseDecimal(found[2]); err == nil && least.IsPositive() {
			t := bom.Exactly(least)
			return reference.Row[FinishClass]{Value: FinishClass{Finish: of.Finish, Name: name, Standard: of.Standard, LeastUM: &t}}, nil
		}
	}
	return reference.Row[FinishClass]{}, unknown
}

// CoatingOf gives what the layer of a finish consists of.
func (f Finishes) CoatingOf(finish FinishKind) (reference.Row[FinishCoating], bool) {
	return finishRow(f.Coatings, "coating of "+finish.Words(), func(c FinishCoating) bool { return c.Finish == finish })
}

// BathOf gives how a bath deposits the metal of a finish.
func (f Finishes) BathOf(finish FinishKind) (reference.Row[FinishBath], bool) {
	return finishRow(f.Baths, "bath of "+finish.Words(), func(b FinishBath) bool { return b.Finish == finish })
}

// UsualOf gives how thick a finish usually is.
func (f Finishes) UsualOf(finish FinishKind) (reference.Row[FinishThickness], bool) {
	return finishRow(f.Usual, "thickness of "+finish.Words(), func(u FinishThickness) bool { return u.Finish == finish })
}

// Thread gives the room that an external thread of position g leaves for a coating.
func (f Finishes) Thread(pitch bom.Number) (reference.Row[ThreadRoom], bool) {
	return finishRow(f.Threads, "thread of pitch "+pitch.Likely.String(), func(t ThreadRoom) bool { return t.PitchMM.Likely.Equal(pitch.Likely) })
}

// GrowthOf gives the growth of a finish.
func (f Finishes) GrowthOf(finish FinishKind) (reference.Row[FinishGrowth], bool) {
	return finishRow(f.Growth, "growth of "+finish.Words(), func(g FinishGrowth) bool { return g.Finish == finish })
}

// Deposit gives the row of a level of phosphorus.
func (f Finishes) Deposit(level Phosphorus) (reference.Row[NickelDeposit], bool) {
	return finishRow(f.Deposits, "phosphorus "+string(level), func(d NickelDeposit) bool { return d.Level == level })
}

// DepositOf gives the row of a share of phosphorus in per cent.
func (f Finishes) DepositOf(percent bom.Number) (reference.Row[NickelDeposit], bool) {
	at := slices.IndexFunc(f.Deposits, func(d NickelDeposit) bool { return d.Holds(percent) })
	if at < 0 {
		return reference.Row[NickelDeposit]{}, false
	}
	return f.Deposit(f.Deposits[at].Level)
}

// Holds reports whether a share of phosphorus lies in the range of the row.
func (d NickelDeposit) Holds(percent bom.Number) bool {
	return !percent.Likely.LessThan(d.FromPercent.Likely) && !percent.Likely.GreaterThan(d.ToPercent.Likely)
}

// finishRow finds a row of a table and says where it is from.
func finishRow[T interface {
	told(where string) reference.Provenance
}](rows []T, what string, is func(T) bool) (out reference.Row[T], found bool) {
	at := slices.IndexFunc(rows, is)
	if at < 0 {
		return out, false
	}
	return reference.Row[T]{Value: rows[at], Provenance: rows[at].told(finishRows + what)}, true
}

const finishRows = "reference row of finishes, "
