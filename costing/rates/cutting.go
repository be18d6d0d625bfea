package rates

import (
	"slices"

	"kerfbook/bom"
)

// Cutting are the rows of cutting data of one file.
type Cutting struct {
	Rows   []CuttingRow   `book:"cutting_data"`
	Forces []CuttingForce `book:"cutting_forces"`
}

// CuttingRow says how a kind of tool cuts a material: values that a trained
// machinist on a guarded machine starts from. What depends on the diameter D of
// the tool is given in mm, as a share of D, or at stated diameters.
type CuttingRow struct {
	ID bom.ID `book:"id,required"`
	// Material is one of the book or of the reference rows.
	Material bom.ID        `book:"material,required"`
	Tool     bom.ToolKind  `book:"tool,required"`
	Grade    bom.ToolGrade `book:"grade"` // absent: any
	// For narrows the row to kinds of feature.
	For []bom.FeatureKind `book:"for"`
	// The row holds for diameters from and up to these.
	FromDiameterMM *bom.Number `book:"from_diameter_mm,over=0"`
	ToDiameterMM   *bom.Number `book:"to_diameter_mm,over=0"`

	SpeedMMin *bom.Number `book:"speed_m_min,over=0"`
	// Feed is per tooth (milling) or per revolution (drilling, turning).
	FeedMM          *bom.Number `book:"feed_mm,over=0"`
	FeedPerDiameter *bom.Number `book:"feed_per_diameter,over=0"`
	Feeds           []FeedAt    `book:"feeds"`

	DepthMM          *bom.Number `book:"depth_mm,over=0"`
	DepthPerDiameter *bom.Number `book:"depth_per_diameter,over=0"`
	WidthMM          *bom.Number `book:"width_mm,over=0"`
	WidthPerDiameter *bom.Number `book:"width_per_diameter,over=0,max=1"`

	// MinChipMM is the chip thickness below which the edge rubs.
	MinChipMM *bom.Number `book:"min_chip_mm,over=0"`
	// TapForceNMM2 is the specific cutting force of tapping.
	TapForceNMM2 *bom.Number `book:"tap_force_n_mm2,over=0"`
	// MorePasses are those that a turned thread takes more than usual, since the
	// material is hard to cut.
	MorePasses *bom.Number `book:"more_passes,min=0,whole"`
	// SawRateCM2Min is what a band saw goes through.
	SawRateCM2Min *bom.Number `book:"saw_rate_cm2_min,over=0"`

	From   bom.Date `book:"from,required"`
	Source string   `book:"source"`
	// ReadAgainst is what a second source has. A reference row without one says in
	// its source that it has one source, or is from memory.
	ReadAgainst string `book:"read_against"`
	// CheckedOn is the day on which the row was last looked at.
	CheckedOn bom.Date `book:"checked_on"`
	Measured  bool     `book:"measured"` // by the shop itself
}

// FeedAt is the feed of a tool of a diameter.
type FeedAt struct {
	DiameterMM bom.Number `book:"diameter_mm,required,over=0"`
	FeedMM     bom.Number `book:"feed_mm,required,over=0"`
}

// CuttingForce is the specific cutting force of a material: kc = kc1.1·h^(−mc).
type CuttingForce struct {
	Material bom.ID     `book:"material,required"`
	Kc11NMM2 bom.Number `book:"kc11_n_mm2,required,over=0"`
	MC       bom.Number `book:"mc,required,min=0,under=1"`
	From     bom.Date   `book:"from,required"`
	Source   string     `book:"source,required"`
	// CheckedOn is the day on which the row was last looked at.
	CheckedOn bom.Date `book:"checked_on"`
}

// Factor is what was measured ÷ what was computed at a work centre for a kind of
// feature: of minutes, or of roughness.
type Factor struct {
	ID         bom.ID          `book:"id,required"`
	WorkCentre bom.ID          `book:"work_centre,required"`
	Feature    bom.FeatureKind `book:"feature,required"`
	Material   bom.ID          `book:"material"` // absent: any
	Minutes    *bom.Number     `book:"minutes,over=0"`
	Roughness  *bom.Number     `book:"roughness,over=0"`
	From       bom.Date        `book:"from,required"`
	Source     string          `book:"source,required"`
}

// FeedReach gives the places in Feeds, in order of their diameters, between which a
// diameter lies from its low to its high end, and whether it goes below the smallest
// or above the largest. The feed of a tool lies on the straight line between those
// of the diameters around its own; above the largest its feed holds, below the
// smallest it falls with the diameter.
func (r *CuttingRow) FeedReach(d *bom.Number) (places []int, below, above bool) {
	places = r.feedLine()
	from := slices.IndexFunc(places, func(i int) bool { return r.Feeds[i].DiameterMM.Likely.GreaterThan(d.Low) })
	to := slices.IndexFunc(places, func(i int) bool { return r.Feeds[i].DiameterMM.Likely.GreaterThanOrEqual(d.High) })
	below, above = from == 0, to < 0
	if from < 0 {
		from = len(places)
	}
	if above {
		to = len(places) - 1
	}
	return places[max(from-1, 0) : to+1], below, above
}

// feedLine gives the places in Feeds in order of their diameters.
func (r *CuttingRow) feedLine() []int {
	places := make([]int, len(r.Feeds))
	for i := range places {
		places[i] = i
	}
	slices.SortStableFunc(places, func(a, b int) int { return r.Feeds[a].DiameterMM.Likely.Cmp(r.Feeds[b].DiameterMM.Likely) })
	return places
}

// FeedAround gives the stated feeds of the diameters around one: of the largest not
// above it, nil where all are above, and of the smallest above it, nil where none is.
func (r *CuttingRow) FeedAround(d *bom.Number) (from, to *FeedAt) {
	for _, i := range r.feedLine() {
		if f := &r.Feeds[i]; f.DiameterMM.Likely.GreaterThan(d.Likely) {
			return from, f
		}
		from = &r.Feeds[i]
	}
	return from, nil
}

// FeedFar reports whether a feed is more than twice the highest that the row gives
// a tool, and names that: "0.06 mm".
func (r *CuttingRow) FeedFar(feed bom.Number, t *bom.Tool) (highest string, far bool) {
	const twice = 2
	switch {
	case r.FeedMM != nil:
		return r.FeedMM.High.String() + " mm", bom.Beyond([]bom.Number{feed}, twice, *r.FeedMM)
	case r.FeedPerDiameter != nil:
		return r.FeedPerDiameter.High.String() + " of the diameter", bom.Beyond([]bom.Number{feed}, twice, *r.FeedPerDiameter, *t.DiameterMM)
	}
	switch from, to := r.FeedAround(t.DiameterMM); {
	case to == nil:
		return from.highest(), bom.Beyond([]bom.Number{feed}, twice, from.FeedMM)
	case from == nil:
		return to.highest(), bom.Beyond([]bom.Number{feed, to.DiameterMM}, twice, to.FeedMM, *t.DiameterMM)
	default:
		return from.highest() + " and " + to.highest(), bom.BeyondLine(feed, twice, *t.DiameterMM,
			[2]bom.Number{from.DiameterMM, to.DiameterMM}, [2]bom.Number{from.FeedMM, to.FeedMM})
	}
}

func (f *FeedAt) highest() string {
	return f.FeedMM.High.String() + " mm at a diameter of " + f.DiameterMM.Likely.String() + " mm"
}

// HasFeed reports whether the row gives a feed for a tool, or the rate of a saw; feeds
// by diameter are for tools that have one.
func (r *CuttingRow) HasFeed(t *bom.Tool) bool {
	if t.Kind == bom.BandSaw {
		return r.SawRateCM2Min != nil
	}
	return r.FeedMM != nil || t.DiameterMM != nil && (r.FeedPerDiameter != nil || len(r.Feeds) > 0)
}
