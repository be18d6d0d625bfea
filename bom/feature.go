package bom

// Feature is a shape that one machining operation cuts, or a piece of work done by hand.
// Lengths are mm; which of them a kind needs and takes is told by [Feature.Faults].
type Feature struct {
	ID   ID          `book:"id,required"`
	Name string      `book:"name,required"`
	Kind FeatureKind `book:"kind,required"`
	// Tools are those that may cut it; none means every suitable tool of the
	// work centre.
	Tools []ID `book:"tools"`
	// Count is how many alike there are; absent means one.
	Count *Number `book:"count,over=0,whole"`
	// SpacingMM is the way from one of them to the next; in a grid, its pitch.
	SpacingMM *Number `book:"spacing_mm,over=0"`

	LengthMM       *Number `book:"length_mm,over=0"`
	WidthMM        *Number `book:"width_mm,over=0"`
	DepthMM        *Number `book:"depth_mm,over=0"`
	DiameterMM     *Number `book:"diameter_mm,over=0"`
	ToDiameterMM   *Number `book:"to_diameter_mm,min=0"`
	PathMM         *Number `book:"path_mm,over=0"`
	CornerRadiusMM *Number `book:"corner_radius_mm,over=0"`

	SlotWidthMM *Number `book:"slot_width_mm,over=0"`
	FinWidthMM  *Number `book:"fin_width_mm,over=0"`
	// OpenEdges says that the outermost slots are open at the edges, so that
	// there is one fin less than slots and not one more.
	OpenEdges bool `book:"open_edges"`

	PitchMM *Number `book:"pitch_mm,over=0"`
	// Inside says that a turned thread is that of a hole.
	Inside bool    `book:"inside"`
	Starts *Number `book:"starts,over=0,whole"`
	// ReturnFactor is the speed of a tap on its way out ÷ its speed on its way
	// in; absent means one.
	ReturnFactor *Number `book:"return_factor,over=0"`

	Through bool    `book:"through"`
	PeckMM  *Number `book:"peck_mm,over=0"`

	// RzUM or RaUM is the roughness wanted; of a ball mill, the height of the
	// scallops.
	RzUM *Number `book:"rz_um,over=0"`
	RaUM *Number `book:"ra_um,over=0"`
	// AllowanceMM is what this feature leaves for finishing; of a turned or bored one
	// with a roughness, what its own finishing pass takes.
	AllowanceMM *Number `book:"allowance_mm,min=0"`
	ClearanceMM *Number `book:"clearance_mm,min=0"`
	OverrunMM   *Number `book:"overrun_mm,min=0"`

	// What is done by hand: by area, by characters of any size, or by piece. UnitMin is
	// the minutes by metre, dm², character or piece, in place of the usual ones.
	AreaDM2    *Number `book:"area_dm2,over=0"`
	Characters *Number `book:"characters,over=0,whole"`
	UnitMin    *Number `book:"unit_min,over=0"`

	// In place of the cutting data.
	SpeedMMin    *Number `book:"speed_m_min,over=0"`
	FeedMM       *Number `book:"feed_mm,over=0"` // per tooth (milling) or revolution
	DepthOfCutMM *Number `book:"depth_of_cut_mm,over=0"`
	WidthOfCutMM *Number `book:"width_of_cut_mm,over=0"`
}
