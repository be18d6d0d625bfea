package bom

// ToolGrade is what the cutting edge consists of.
type ToolGrade string

// The grades. A tool that names none counts as carbide.
const (
	HSS     ToolGrade = "hss"
	Carbide ToolGrade = "carbide"
	Diamond ToolGrade = "diamond"
)

// Values lists the words of the book.
func (ToolGrade) Values() []string { return []string{"hss", "carbide", "diamond"} }

// Tool is a cutting tool. Lengths are mm.
type Tool struct {
	ID    ID        `book:"id,required"`
	Name  string    `book:"name,required"`
	Kind  ToolKind  `book:"kind,required"`
	Grade ToolGrade `book:"grade"`
	// DiameterMM is the cutting diameter; of a boring tool, the smallest hole
	// it enters, and so of a blade or threading tool that cuts inside.
	DiameterMM *Number `book:"diameter_mm,over=0"`
	// BarDiameterMM is that of the bar of a boring tool; absent means 0.8 of the
	// smallest hole.
	BarDiameterMM *Number `book:"bar_diameter_mm,over=0"`
	// WidthMM is the width of a saw or parting blade.
	WidthMM *Number `book:"width_mm,over=0"`
	// Teeth absent means one.
	Teeth         *Number `book:"teeth,over=0,whole"`
	NoseRadiusMM  *Number `book:"nose_radius_mm,over=0"`
	PointAngleDeg *Number `book:"point_angle_deg,over=0,max=180"`
	PitchMM       *Number `book:"pitch_mm,over=0"`
	// ReachMM is the deepest the tool can cut; CuttingLengthMM how much of it
	// cuts at once.
	ReachMM         *Number `book:"reach_mm,over=0"`
	CuttingLengthMM *Number `book:"cutting_length_mm,over=0"`
	// Wiper says that a wiper insert levels what the others leave, so that
	// roughness does not limit the feed.
	Wiper bool `book:"wiper"`

	// EdgeCost is the cost of one cutting edge, in the currency of the book.
	EdgeCost *Number `book:"edge_cost,min=0"`
	// LifeMin is the cutting time an edge lasts; or it follows from speed V by
	// Taylor: V·Tⁿ = C, C the speed in m/min at which an edge lasts one minute.
	LifeMin       *Number `book:"life_min,over=0"`
	TaylorN       *Number `book:"taylor_n,over=0,under=1"`
	TaylorC       *Number `book:"taylor_c,over=0"`
	EdgeChangeMin *Number `book:"edge_change_min,min=0"`
	// WorkCentres are those where the tool is kept; none means all.
	WorkCentres []ID   `book:"work_centres"`
	Source      string `book:"source"`
}

// GradeOf gives the grade of the tool: carbide where none is named.
func (t *Tool) GradeOf() ToolGrade {
	if t.Grade == "" {
		return Carbide
	}
	return t.Grade
}
