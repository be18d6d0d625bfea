package rates

import (
	"kerfbook/bom"
	"kerfbook/costing/money"
)

// RateCard is a dated set of overheads and exchange rates.
type RateCard struct {
	ID   bom.ID   `book:"id,required"`
	From bom.Date `book:"from,required"`
	// MaterialOverhead is the share on charged stock; bought parts and outside
	// processes have their own, absent means 0.
	MaterialOverhead *bom.Number `book:"material_overhead,min=0"`
	BoughtOverhead   *bom.Number `book:"bought_overhead,min=0"`
	OutsideOverhead  *bom.Number `book:"outside_overhead,min=0"`
	// Making is the manufacturing overhead; absent means none.
	Making         *Overhead   `book:"making_overhead"`
	Administration *bom.Number `book:"administration,min=0"`
	Selling        *bom.Number `book:"selling,min=0"`
	// EnergyPerKWh and InterestPerYear stand in for those that a built-up hour
	// rate does not give.
	EnergyPerKWh    *bom.Number `book:"energy_per_kwh,min=0"`
	InterestPerYear *bom.Number `book:"interest_per_year,min=0"`
	Exchange        []Exchange  `book:"exchange"`
	Source          string      `book:"source"`
}

// HasOverheads reports that the card gives an overhead. One that gives one gives all:
// none is written as 0.
func (c *RateCard) HasOverheads() bool { return len(c.OverheadsMissing()) < 6 }

// OverheadsMissing names the six fields of the overheads that the card does not give.
func (c *RateCard) OverheadsMissing() []string {
	var out []string
	for _, o := range []struct {
		field string
		given bool
	}{{"material_overhead", c.MaterialOverhead != nil}, {"bought_overhead", c.BoughtOverhead != nil}, {"outside_overhead", c.OutsideOverhead != nil},
		{"making_overhead", c.Making != nil}, {"administration", c.Administration != nil}, {"selling", c.Selling != nil}} {
		if !o.given {
			out = append(out, o.field)
		}
	}
	return out
}

// OverheadBase is what a manufacturing overhead is charged on.
type OverheadBase string

// The bases.
const (
	LabourCost   OverheadBase = "labour_cost"
	LabourHours  OverheadBase = "labour_hours"
	MachineHours OverheadBase = "machine_hours"
)

// Values lists the words of the book.
func (OverheadBase) Values() []string {
	return []string{"labour_cost", "labour_hours", "machine_hours"}
}

// Overhead is charged at a rate (a share of labour cost, or money per hour), or
// at the rate that follows from a budget: budget ÷ base budget.
type Overhead struct {
	Base       OverheadBase `book:"base,required"`
	Rate       *bom.Number  `book:"rate,min=0"`
	Budget     *bom.Number  `book:"budget,min=0"`
	BaseBudget *bom.Number  `book:"base_budget,over=0"`
}

// ExchangeKind tells exchange rates of different use apart. They are named from the
// side of the shop: the buying rate is what it pays for foreign money to buy with,
// which is the bank's selling rate, since banks name theirs from their own side (as
// the telegraphic transfer buying rate of rule 26, Income-tax Rules 1962, India: the
// rate the bank adopts "for buying such currency").
type ExchangeKind string

// The kinds of exchange rate.
const (
	ForBuying  ExchangeKind = "buying"  // offers, outside processes, carriers
	ForSelling ExchangeKind = "selling" // prices in the currency of a destination
	ForCustoms ExchangeKind = "customs" // what customs looks at
)

// Values lists the words of the book.
func (ExchangeKind) Values() []string { return []string{"buying", "selling", "customs"} }

// Exchange says how many units of To one unit of From is worth.
type Exchange struct {
	From   money.Code   `book:"from,required"`
	To     money.Code   `book:"to,required"`
	Kind   ExchangeKind `book:"kind,required"`
	Rate   bom.Number   `book:"rate,required,over=0"`
	Source string       `book:"source"`
}

// WorkCentre is a machine or bench. Rates are per hour, in the currency of the
// book.
type WorkCentre struct {
	ID              bom.ID      `book:"id,required"`
	Name            string      `book:"name,required"`
	Machines        int         `book:"machines,over=0"`
	MachineRatePerH *bom.Number `book:"machine_rate_per_h,min=0"`
	// HourRate builds the machine rate up, in place of an entered one.
	HourRate       *HourRate   `book:"hour_rate"`
	LabourRatePerH *bom.Number `book:"labour_rate_per_h,min=0"`
	// Wage is what the labour rate is worked out from, in place of an entered one. OwnHour
	// is the wage that holds person and machine together, in place of both rates.
	Wage    bom.ID `book:"wage"`
	OwnHour bom.ID `book:"own_hour"`
	// Consumables, such as coolant, abrasives and wipes, are charged by the hour in which it
	// is occupied, and by the piece that comes in; what the machine rate contains stays there.
	ConsumablesPerH     *bom.Number `book:"consumables_per_h,min=0"`
	ConsumablesPerPiece *bom.Number `book:"consumables_per_piece,min=0"`
	// Allowance is added to attended time, as a share of work time or, where
	// the base says so, of shift time.
	Allowance     *bom.Number   `book:"allowance,min=0"`
	AllowanceBase AllowanceBase `book:"allowance_base"`

	// Limits of the spindle. Efficiency is the share of its power that reaches
	// the cut; absent means all.
	SpindleMaxPerMin  *bom.Number `book:"spindle_max_per_min,over=0"`
	SpindlePowerKW    *bom.Number `book:"spindle_power_kw,over=0"`
	SpindleTorqueNM   *bom.Number `book:"spindle_torque_nm,over=0"`
	SpindleEfficiency *bom.Number `book:"spindle_efficiency,over=0,max=1"`
	// RapidMMMin is the speed of moves that do not cut, AccelerationMS2 how fast
	// it is reached, SettlingS what every position takes to come to rest.
	RapidMMMin      *bom.Number `book:"rapid_mm_min,over=0"`
	AccelerationMS2 *bom.Number `book:"acceleration_m_s2,over=0"`
	SettlingS       *bom.Number `book:"settling_s,min=0"`
	// ApproachMM is the way of a tool to each feature.
	ApproachMM *bom.Number `book:"approach_mm,min=0"`
	// ToolChangeS is from chip to chip; ToolSettlingS what each tool takes in
	// addition until spindle and coolant run.
	ToolChangeS   *bom.Number `book:"tool_change_s,min=0"`
	ToolSettlingS *bom.Number `book:"tool_settling_s,min=0"`
	TapReversalS  *bom.Number `book:"tap_reversal_s,min=0"` // per tapped hole
	// Setup and Programming are for operations that are described by features.
	Setup       *Setup       `book:"setup"`
	Programming *Programming `book:"programming"`
	// NotCounted is what the shop says of matters without a figure at this work centre.
	NotCounted []bom.CountAnswer `book:"not_counted"`
}

// Moves reports that it is known what the moves to and from the cuts of an operation take.
func (w *WorkCentre) Moves(o *bom.Operation) bool {
	return o.PositioningMin != nil || w.RapidMMMin != nil && w.ApproachMM != nil
}

// Material is what stock consists of.
type Material struct {
	ID          bom.ID     `book:"id,required"`
	Name        string     `book:"name,required"`
	DensityGCM3 bom.Number `book:"density_g_cm3,required,over=0"`
	// ReclaimPerKg is what a kilogram of chips brings, in the currency of the
	// book; RecoveredShare is the share of chips that is collected.
	ReclaimPerKg *bom.Number `book:"reclaim_per_kg,min=0"`
	// ReclaimMetal is the metal price that chips bring, or ReclaimShare of it, in the place
	// of ReclaimPerKg.
	ReclaimMetal   bom.ID      `book:"reclaim_metal"`
	ReclaimShare   *bom.Number `book:"reclaim_share,min=0,max=1"`
	RecoveredShare *bom.Number `book:"recovered_share,min=0,max=1"`
	Source         string      `book:"source"`

	// CuttingAs names the material of the reference rows, or another of the
	// book, whose cutting data hold for this one where it has none of its own.
	CuttingAs bom.ID `book:"cutting_as"`
	// CuttingShare is what it bears of the cutting speeds of that; absent means all.
	CuttingShare *bom.Number `book:"cutting_share,over=0"`
	// Kc11NMM2 is the specific cutting force at a chip of 1 mm² and 1 mm
	// thickness, MC how it falls with thicker chips.
	Kc11NMM2 *bom.Number `book:"kc11_n_mm2,over=0"`
	MC       *bom.Number `book:"mc,min=0,under=1"`
}

// CardOn gives the rate card in force on a day: the latest that has begun.
func CardOn(cards []RateCard, day bom.Date) (RateCard, bool) {
	var found RateCard
	ok := false
	for _, c := range cards {
		if c.From <= day && (!ok || c.From > found.From) {
			found, ok = c, true
		}
	}
	return found, ok
}

// FindExchange finds a rate of a kind on a card, as entered or, where inverse is
// true and none is entered so, the other way round. Where there is no buying rate
// the selling rate is found.
func FindExchange(card RateCard, from, to money.Code, kind ExchangeKind) (at int, inverse, ok bool) {
	for i, x := range card.Exchange {
		switch {
		case x.Kind != kind:
		case x.From == from && x.To == to:
			return i, false, true
		case x.From == to && x.To == from && !ok:
			at, inverse, ok = i, true, true
		}
	}
	if !ok && kind == ForBuying {
		return FindExchange(card, from, to, ForSelling)
	}
	return at, inverse, ok
}

// Setup is what a set-up at a work centre takes, in its parts and in minutes, of an
// operation that is described by features and has no set-up time entered. One operation
// is one clamping.
type Setup struct {
	FixtureMin   *bom.Number `book:"fixture_min,min=0"`    // fixture or jaws in and aligned
	ToolMin      *bom.Number `book:"tool_min,min=0"`       // each tool that the features use, loaded and measured
	ZeroMin      *bom.Number `book:"zero_min,min=0"`       // zero of the piece
	ProveOutMin  *bom.Number `book:"prove_out_min,min=0"`  // the program tried out
	FirstOffMin  *bom.Number `book:"first_off_min,min=0"`  // the first piece and its measuring
	CleanDownMin *bom.Number `book:"clean_down_min,min=0"` // fixture out, machine clean
	Source       string      `book:"source"`
}

// Programming is what the program of an operation takes, in minutes: for its clamping,
// and for each feature that a tool cuts. It is charged to a part that says over how many
// pieces.
type Programming struct {
	ProgramMin *bom.Number `book:"program_min,min=0"`
	FeatureMin *bom.Number `book:"feature_min,min=0"`
	Source     string      `book:"source"`
}

// TimePart is one time of several that add up.
type TimePart struct {
	Field, Name, Label string
	Minutes            *bom.Number
	Each               bool // for each tool or feature
}

// Parts lists the parts of a set-up in the order of the work.
func (s *Setup) Parts() []TimePart {
	if s == nil {
		s = new(Setup)
	}
	return []TimePart{{"fixture_min", "fixture", "fixture or jaws in", s.FixtureMin, false}, {"tool_min", "tool", "a tool loaded and measured", s.ToolMin, true},
		{"zero_min", "zero", "zero of the piece", s.ZeroMin, false}, {"prove_out_min", "prove-out", "program proved out", s.ProveOutMin, false},
		{"first_off_min", "first-off", "first piece and its measuring", s.FirstOffMin, false}, {"clean_down_min", "clean-down", "clean down", s.CleanDownMin, false}}
}

// Parts lists the parts of programming.
func (p *Programming) Parts() []TimePart {
	if p == nil {
		p = new(Programming)
	}
	return []TimePart{{"program_min", "program", "program of a clamping", p.ProgramMin, false}, {"feature_min", "feature", "program of a feature", p.FeatureMin, true}}
}
