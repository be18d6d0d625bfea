package bom

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

// Characteristic is one thing that an inspection measures: a roughness, a
// flatness, the pull of a magnet.
type Characteristic struct {
	Name       string `book:"name,required"`
	MeasureMin Number `book:"measure_min,required,min=0"` // on a piece that is looked at
	// SampledShare is the share of pieces it is measured on; absent means all.
	SampledShare *Number `book:"sampled_share,min=0,max=1"`
}
