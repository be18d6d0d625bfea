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
)

// Values lists the words of the book.
func (FinishKind) Values() []string {
	return []string{"electroless_nickel", "anodising", "hard_anodising"}
}

// Words is the kind as a person says it.
func (k FinishKind) Words() string { return strings.ReplaceAll(string(k), "_", " ") }

// Phosphorus is how much phosphorus a nickel deposit holds.
type Phosphorus string

// Values lists the words of the book.
func (Phosphorus) Values() []string { return []string{"low", "mid_low", "mid", "high"} }

// Finishes are the reference rows of finishes.
type Finishes struct {
	Classes  []FinishClass   `book:"finish_classes"`
	Deposits []NickelDeposit `book:"nickel_deposits"`
	Growth   []FinishGrowth  `book:"finish_growth"`
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
	Source       string      `book:"source,required"`
	CheckedOn    bom.Date    `book:"checked_on,required"`

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
	Source      string     `book:"source,required"`
	CheckedOn   bom.Date   `book:"checked_on,required"`
}

// FinishGrowth is the share of its thickness by which a finish makes a surface
// grow.
type FinishGrowth struct {
	Finish FinishKind `book:"finish,required"`
	Share  bom.Number `book:"share,required,min=0,max=1"`
	// EdgeRadius is the least radius of edges, in thicknesses.
	EdgeRadius *bom.Number `book:"edge_radius_per_thickness,over=0"`
	Source     string      `book:"source,required"`
	CheckedOn  bom.Date    `book:"checked_on,required"`
}

// ReferenceFinishes gives the rows of finishes that ship with the program.
var ReferenceFinishes = reference.Rows[Finishes]("finishes.yaml")

// UnknownClassError is a class that a finish does not have.
type UnknownClassError struct {
	Class  string
	Finish FinishKind
	Known  []string
}

func (e *UnknownClassError) Error() string {
	also := ""
	if e.Finish == ElectrolessNickel {
		also = ", and designations after ISO 4527 such as NiP(10)15: 10 % phosphorus, 15 µm"
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
			return reference.Row[FinishClass]{Value: c, Provenance: finishProvenance("class "+name+", "+c.Standard, c.Source, c.CheckedOn)}, nil
		}
		e.Known = append(e.Known, string(c.ID))
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

func finishProvenance(what, cite string, checked bom.Date) reference.Provenance {
	return reference.Told("reference row of finishes, "+what, cite, checked)
}

// Deposit gives the row of a level of phosphorus.
func (f Finishes) Deposit(level Phosphorus) (reference.Row[NickelDeposit], bool) {
	return f.deposit(func(d NickelDeposit) bool { return d.Level == level })
}

// DepositOf gives the row of a share of phosphorus in per cent.
func (f Finishes) DepositOf(percent bom.Number) (reference.Row[NickelDeposit], bool) {
	return f.deposit(func(d NickelDeposit) bool { return d.Holds(percent) })
}

// Holds reports whether a share of phosphorus lies in the range of the row.
func (d NickelDeposit) Holds(percent bom.Number) bool {
	return !percent.Likely.LessThan(d.FromPercent.Likely) && !percent.Likely.GreaterThan(d.ToPercent.Likely)
}

func (f Finishes) deposit(is func(NickelDeposit) bool) (reference.Row[NickelDeposit], bool) {
	at := slices.IndexFunc(f.Deposits, is)
	if at < 0 {
		return reference.Row[NickelDeposit]{}, false
	}
	d := f.Deposits[at]
	return reference.Row[NickelDeposit]{Value: d, Provenance: finishProvenance("phosphorus "+string(d.Level), d.Source, d.CheckedOn)}, true
}

// GrowthOf gives the growth of a finish.
func (f Finishes) GrowthOf(finish FinishKind) (reference.Row[FinishGrowth], bool) {
	for _, g := range f.Growth {
		if g.Finish == finish {
			return reference.Row[FinishGrowth]{Value: g, Provenance: finishProvenance("growth of "+finish.Words(), g.Source, g.CheckedOn)}, true
		}
	}
	return reference.Row[FinishGrowth]{}, false
}
