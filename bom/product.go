package bom

// Product is what is sold: options, the rules between their choices, the
// positions of its variable bill of materials and the trims sold by name.
type Product struct {
	Number   ID     `book:"number,required"`
	Name     string `book:"name,required"`
	Revision string `book:"revision"`

	Options   []Option   `book:"options"`
	Rules     []Rule     `book:"rules"`
	Places    []Place    `book:"places"`
	Positions []Position `book:"positions,required"`
	Trims     []Trim     `book:"trims,required"`

	Routing []Operation   `book:"routing"`
	Special []SpecialCost `book:"special_direct"`
	// SpecialSelling is the special direct selling cost of one unit, in the
	// currency of the book.
	SpecialSelling *Number `book:"special_selling_per_piece,min=0"`

	// UsualBatch is how many are usually made at once: what published prices rest on.
	UsualBatch *Number `book:"usual_batch,over=0,max=10000000,whole"`

	Parcel *Parcel `book:"parcel"`
	Carton *Carton `book:"carton"` // of several parcels; without it each goes alone
	HSCode string  `book:"hs_code"`
	// National are longer codes of single places, where the first six digits do
	// not decide the duty.
	National []NationalCode `book:"national_codes"`
	Origin   Country        `book:"origin"`
	Safety   []string       `book:"safety_notes"`
	// NotCounted is what the shop says of matters that have no figure.
	NotCounted []CountAnswer `book:"not_counted"`
}

// Goods is what carriers and customs ask of something that is sold.
type Goods struct {
	Is       string // product or part
	Number   ID
	Name     string
	Revision string
	Parcel   *Parcel
	Carton   *Carton
	HSCode   string
	National []NationalCode
	Origin   Country
	Safety   []string
}

// Goods is the product as carriers and customs see it.
func (p *Product) Goods() Goods {
	return Goods{"product", p.Number, p.Name, p.Revision, p.Parcel, p.Carton, p.HSCode, p.National, p.Origin, p.Safety}
}

// Goods is the part, sold by itself, as carriers and customs see it. What a shop makes
// counts as made in its country where nothing else is said.
func (p *Part) Goods(shop Country) Goods {
	origin := p.Origin
	if origin == "" && p.Kind != Bought {
		origin = shop
	}
	return Goods{"part", p.Number, p.Name, p.Revision, p.Parcel, nil, p.HSCode, p.National, origin, p.Safety}
}

// Words names the goods: product LAMP.
func (g Goods) Words() string { return g.Is + " " + string(g.Number) }

// NationalCode is the classification of goods in the tariff of one place.
type NationalCode struct {
	Place string `book:"place,required"` // a country or customs territory
	Code  string `book:"hs_code,required"`
}

// Country is an ISO 3166-1 alpha-2 code.
type Country string

// Option is an axis on which variants differ.
type Option struct {
	ID      ID       `book:"id,required"`
	Name    string   `book:"name,required"`
	Choices []Choice `book:"choices,required"`
}

// Choice is one value of an option.
type Choice struct {
	ID   ID     `book:"id,required"`
	Name string `book:"name,required"`
}

// When is a condition: every option named has one of the choices listed.
type When map[ID][]ID

// RuleKind says how the two conditions of a rule relate.
type RuleKind string

// The kinds of rule.
const (
	Requires RuleKind = "requires"  // if the first holds, so must the second
	Excludes RuleKind = "excludes"  // not both
	OnlyWith RuleKind = "only_with" // the first only where the second holds
)

// Values lists the words of the book.
func (RuleKind) Values() []string { return []string{"requires", "excludes", "only_with"} }

// Rule is a statement that must hold between choices.
type Rule struct {
	Kind   RuleKind `book:"kind,required"`
	If     When     `book:"if,required"`
	Then   When     `book:"then,required"`
	Reason string   `book:"reason"`
}

// Place is a spot in the product for which positions compete; a variant needs
// exactly one part for each required place, and at most one for any other.
type Place struct {
	ID       ID     `book:"id,required"`
	Name     string `book:"name,required"`
	Required bool   `book:"required"`
}

// Position is one line of the variable bill of materials.
type Position struct {
	Number       int     `book:"number,required,over=0"`
	Part         ID      `book:"part,required"`
	Quantity     Number  `book:"quantity,required,min=0"`
	Place        ID      `book:"place"`
	When         []When  `book:"when"` // any of these; none means always
	Operation    int     `book:"operation,min=0"`
	FittingScrap *Number `book:"fitting_scrap,min=0,under=1"`
}

// Trim is a named selection sold under a name.
type Trim struct {
	ID      ID        `book:"id,required"`
	Name    string    `book:"name,required"`
	Choices map[ID]ID `book:"choices"`
}

// Carton holds several packed products, which then go as one parcel.
type Carton struct {
	Pieces   Number `book:"pieces_per_carton,required,min=2,whole"`
	LengthMM Number `book:"length_mm,required,over=0"`
	WidthMM  Number `book:"width_mm,required,over=0"`
	HeightMM Number `book:"height_mm,required,over=0"`
	// EmptyG is the mass of the carton with its padding and nothing in it.
	EmptyG Number `book:"empty_mass_g,required,min=0"`
}

// Parcel is the packed product as the carrier measures it.
type Parcel struct {
	LengthMM Number `book:"length_mm,required,over=0"`
	WidthMM  Number `book:"width_mm,required,over=0"`
	HeightMM Number `book:"height_mm,required,over=0"`
	MassG    Number `book:"mass_g,required,over=0"`
}
