package bom

import (
	"cmp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"
)

// PartKind says where a part comes from.
type PartKind string

// The kinds of part.
const (
	Made     PartKind = "made"     // from stock through a routing
	Bought   PartKind = "bought"   // from an offer
	Assembly PartKind = "assembly" // from children, through a routing if any
)

// Values lists the words of the book.
func (PartKind) Values() []string { return []string{"made", "bought", "assembly"} }

// Measure is what a bought part is counted in where it is used.
type Measure string

// The measures; without one a part is counted by the piece.
const (
	Pieces      Measure = "piece"
	Metres      Measure = "m"
	DM2         Measure = "dm2"
	Millilitres Measure = "ml"
	Grams       Measure = "g"
	Minutes     Measure = "min"
)

// Values lists the words of the book.
func (Measure) Values() []string { return []string{"piece", "m", "dm2", "ml", "g", "min"} }

// Part is anything with a number and a revision.
type Part struct {
	Number   ID       `book:"number,required"`
	Name     string   `book:"name,required"`
	Revision string   `book:"revision"`
	Kind     PartKind `book:"kind,required"`
	// CountedIn is the measure of a bought part that is no piece, such as cord in m or
	// glue in g: its need is not rounded, what is bought of it is.
	CountedIn Measure `book:"counted_in"`
	// MassG is the mass of the finished part, or of one unit that it is counted in.
	MassG    *Number     `book:"mass_g,over=0"`
	Finished *Envelope   `book:"finished"`
	Blank    *Blank      `book:"blank"`
	Routing  []Operation `book:"routing"`
	// FirstGuess makes up for what is not entered yet of a part that is made.
	FirstGuess *FirstGuess   `book:"first_guess"`
	Children   []Child       `book:"children"`
	Special    []SpecialCost `book:"special_direct"`
	// ProgrammingMin is what programming the part takes in all, at the wage of its first
	// operation that machines, in place of what work centres say by clamping and feature.
	ProgrammingMin *Number `book:"programming_min,min=0"`
	// ProgramsOver is how many pieces bear the programs; absent means that they are not
	// charged.
	ProgramsOver *Number `book:"programs_over_pieces,over=0,whole"`
	// Of a part that is sold by itself: see Product.
	Parcel   *Parcel        `book:"parcel"`
	HSCode   string         `book:"hs_code"`
	National []NationalCode `book:"national_codes"`
	Origin   Country        `book:"origin"`
	Safety   []string       `book:"safety_notes"`
	// NotCounted is what the shop says of matters that have no figure.
	NotCounted []CountAnswer `book:"not_counted"`
}

// AssumedRa is the roughness, in µm, that finishing passes of a part that is guessed at leave where
// nobody says one: what turning reaches, common practice.
func AssumedRa() Number { return Exactly(decimal.New(16, -1)) }

// Roughnesses are the roughnesses Ra that are wanted of it, each once, the finest first.
func (p *Part) Roughnesses() (out []Number) {
	for _, o := range p.Routing {
		for _, f := range o.Features {
			if f.RaUM != nil && !slices.ContainsFunc(out, f.RaUM.Equal) {
				out = append(out, *f.RaUM)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Number) int { return a.Likely.Cmp(b.Likely) })
	return out
}

// AssumesRa reports a roughness that is what is assumed of a part that is guessed at.
func (p *Part) AssumesRa(ra Number) bool { return p.FirstGuess != nil && ra.Equal(AssumedRa()) }

// ByPiece reports that the part is counted in whole pieces.
func (p *Part) ByPiece() bool { return p.Kind != Bought || p.CountedIn == "" || p.CountedIn == Pieces }

// Child is one line of an assembly.
type Child struct {
	Part     ID     `book:"part,required"`
	Quantity Number `book:"quantity,required,min=0"`
	// Operation is the number of the operation that consumes the child; 0
	// means the first.
	Operation int `book:"operation,min=0"`
	// FittingScrap is the share lost while fitting, 0 ≤ share < 1.
	FittingScrap *Number `book:"fitting_scrap,min=0,under=1"`
}

// SpecialCost is a special direct cost of making (fixture, programming, sample,
// approval) in the currency of the book, recovered over a number of units.
type SpecialCost struct {
	Name         string `book:"name,required"`
	Amount       Number `book:"amount,required,min=0"`
	RecoverUnits Number `book:"recover_over_pieces,required,over=0,whole"`
}

// StockForm is the form in which stock is bought.
type StockForm string

// The stock forms.
const (
	Bar       StockForm = "bar"
	Square    StockForm = "square"
	Hexagon   StockForm = "hexagon"
	Tube      StockForm = "tube"
	Extrusion StockForm = "extrusion"
	Plate     StockForm = "plate"
	Sheet     StockForm = "sheet"
	NearNet   StockForm = "near_net" // a casting, forging or sawn piece: each is one blank
)

// Values lists the words of the book.
func (StockForm) Values() []string {
	return []string{"bar", "square", "hexagon", "tube", "extrusion", "plate", "sheet", "near_net"}
}

// Words is the form as it stands in a sentence.
func (f StockForm) Words() string {
	return cmp.Or(map[StockForm]string{Square: "square bar", Hexagon: "hexagonal bar", NearNet: "near-net blank"}[f], string(f))
}

// Dimensions lists the fields beside its length that stock of the form may have.
func (f StockForm) Dimensions() []string {
	return strings.Fields(map[StockForm]string{Bar: "width_mm thickness_mm diameter_mm", Square: "across_flats_mm", Hexagon: "across_flats_mm",
		Tube: "diameter_mm inner_diameter_mm", Extrusion: "width_mm thickness_mm section_mm2 mass_kg_m",
		Plate: "width_mm thickness_mm", Sheet: "width_mm thickness_mm", NearNet: "width_mm thickness_mm diameter_mm mass_g"}[f])
}

// Linear reports whether blanks are cut off along one length.
func (f StockForm) Linear() bool {
	return f == Bar || f == Square || f == Hexagon || f == Tube || f == Extrusion
}

// Stock is what is bought to cut blanks from. A bar is round (diameter_mm) or
// flat (width_mm × thickness_mm); a square or hexagonal one is measured across its
// flats; a tube has both diameters; an extrusion has the area of its section or a mass
// by the metre, and may have the width and thickness around it; a plate or sheet has
// length, width and thickness; a near-net blank a mass, or sizes that it fills.
type Stock struct {
	ID              ID        `book:"id,required"`
	Name            string    `book:"name,required"`
	Material        ID        `book:"material,required"`
	Form            StockForm `book:"form,required"`
	LengthMM        Number    `book:"length_mm,required,over=0"`
	WidthMM         *Number   `book:"width_mm,over=0"`
	ThicknessMM     *Number   `book:"thickness_mm,over=0"`
	DiameterMM      *Number   `book:"diameter_mm,over=0"`
	InnerDiameterMM *Number   `book:"inner_diameter_mm,over=0"`
	AcrossFlatsMM   *Number   `book:"across_flats_mm,over=0"`
	SectionMM2      *Number   `book:"section_mm2,over=0"`
	MassKgM         *Number   `book:"mass_kg_m,over=0"`
	MassG           *Number   `book:"mass_g,over=0"`
}

// Blank is the piece cut from stock for one part. From bar and tube it has a
// length; from plate and sheet a length and a width, or a diameter.
type Blank struct {
	Stock      ID      `book:"stock,required"`
	LengthMM   *Number `book:"length_mm,over=0"`
	WidthMM    *Number `book:"width_mm,over=0"`
	DiameterMM *Number `book:"diameter_mm,over=0"`
	// KerfMM is the width lost per cut; for discs and sheet blanks the gap
	// between neighbours, which contains the kerf.
	KerfMM *Number `book:"kerf_mm,min=0"`
	// EndCutMM is cut off each bar in total; BarEndMM is the end that is held and cannot be used.
	EndCutMM *Number `book:"end_cut_mm,min=0,was=trim_mm"`
	BarEndMM *Number `book:"bar_end_mm,min=0,was=grip_mm"`
	// MarginMM stays free along each edge of a sheet.
	MarginMM *Number `book:"margin_mm,min=0"`
	// Grain forbids turning the blank on the sheet.
	Grain bool `book:"grain"`
	// LeftoverValue is the share v of the price paid at which usable leftover
	// is credited, 0 ≤ v ≤ 1.
	LeftoverValue *Number `book:"leftover_value,min=0,max=1"`
	// KeepRemnantMM is the least length at which the remnant of a bar is kept
	// as stock, and the least side at which an offcut of a sheet is; absent
	// means that remnants are not kept.
	KeepRemnantMM *Number `book:"keep_remnant_mm,over=0"`
	// ShareStock lays the blank out together with those of other parts of the
	// batch that are cut from the same stock and say so too.
	ShareStock bool `book:"share_stock"`
}

// InRevision names a part or product in its revision, if it has one.
func InRevision(name, revision string) string {
	if revision == "" {
		return name
	}
	return name + " revision " + revision
}

// MaterialOf gives the material that a part consists of: that of the stock of its
// blank, or the one material that everything made in an assembly consists of. It
// is empty where there is none or more than one, and where parts contain one
// another. Lost is a part of theirs that is not among the parts, or a stock that is
// not among the stocks or has no material.
func MaterialOf(part *Part, parts map[ID]*Part, stocks []Stock) (material, lost ID) {
	m := materials{parts: parts, stocks: stocks, seen: map[ID]bool{}}
	m.collect(part)
	if len(m.found) == 1 && m.lost == "" {
		material = m.found[0]
	}
	return material, m.lost
}

type materials struct {
	parts  map[ID]*Part
	stocks []Stock
	seen   map[ID]bool
	found  []ID
	lost   ID
}

func (m *materials) collect(part *Part) {
	if part == nil || m.seen[part.Number] {
		return
	}
	m.seen[part.Number] = true
	if part.Blank != nil {
		at := slices.IndexFunc(m.stocks, func(s Stock) bool { return s.ID == part.Blank.Stock })
		switch {
		case at < 0 || m.stocks[at].Material == "":
			m.lost = part.Blank.Stock
		case !slices.Contains(m.found, m.stocks[at].Material):
			m.found = append(m.found, m.stocks[at].Material)
		}
	}
	if g := part.FirstGuess; g != nil && part.Blank == nil && !slices.Contains(m.found, g.Material) {
		m.found = append(m.found, g.Material)
	}
	for _, c := range part.Children {
		if m.parts[c.Part] == nil {
			m.lost = c.Part
		}
		m.collect(m.parts[c.Part])
	}
}

// Envelope is the outside dimensions of a finished part, where they differ from
// those of its blank: a box has length, width and thickness, a round part length
// and diameter, a hollow one an inner diameter too. Its surface starts from them.
type Envelope struct {
	LengthMM        *Number `book:"length_mm,over=0"`
	WidthMM         *Number `book:"width_mm,over=0"`
	ThicknessMM     *Number `book:"thickness_mm,over=0"`
	DiameterMM      *Number `book:"diameter_mm,over=0"`
	InnerDiameterMM *Number `book:"inner_diameter_mm,over=0"`
}

// String is the size as a drawing has it: Ø20 × 22 mm.
func (e *Envelope) String() string {
	var out []string
	for _, d := range []struct {
		sign string
		of   *Number
	}{{"Ø", e.DiameterMM}, {"", e.LengthMM}, {"", e.WidthMM}, {"", e.ThicknessMM}} {
		if d.of != nil {
			out = append(out, d.sign+d.of.Likely.String())
		}
	}
	if e.InnerDiameterMM != nil {
		out = append(out, "bore Ø"+e.InnerDiameterMM.Likely.String())
	}
	return strings.Join(out, " × ") + " mm"
}
