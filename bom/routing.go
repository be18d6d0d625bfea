package bom

// OperationKind is the kind of work.
type OperationKind string

// The kinds of operation.
const (
	Machining  OperationKind = "machining"
	Manual     OperationKind = "manual"
	Inspection OperationKind = "inspection"
	Packs      OperationKind = "packing"
	Outside    OperationKind = "outside" // done by a supplier on our pieces
)

// Values lists the words of the book.
func (OperationKind) Values() []string {
	return []string{"machining", "manual", "inspection", "packing", "outside"}
}

// Operation is one step of a routing. Times are minutes. A time per piece is
// entered whole (piece_min) or in its parts; so is the time per load.
type Operation struct {
	Number     int           `book:"number,required,over=0"`
	Name       string        `book:"name,required"`
	Kind       OperationKind `book:"kind,required"`
	WorkCentre ID            `book:"work_centre"`

	SetupMin *Number `book:"setup_min,min=0"`
	// SetupContainsAllowance says that the entered set-up time holds the
	// allowance of the work centre; it is divided out.
	SetupContainsAllowance bool    `book:"setup_contains_allowance"`
	PiecesPerSetup         *Number `book:"pieces_per_setup,over=0,whole"`
	SetupPieces            *Number `book:"setup_pieces,min=0,whole"`

	PieceMin       *Number `book:"piece_min,min=0"`
	CuttingMin     *Number `book:"cutting_min,min=0"`
	PositioningMin *Number `book:"positioning_min,min=0"`
	WornEdgeMin    *Number `book:"worn_edge_min,min=0"`
	HandlingMin    *Number `book:"handling_min,min=0"`

	LoadMin         *Number `book:"load_min,min=0"`
	ToolChangeMin   *Number `book:"tool_change_min,min=0"`
	LoadHandlingMin *Number `book:"load_handling_min,min=0"`
	ProbingMin      *Number `book:"probing_min,min=0"`
	PiecesPerLoad   *Number `book:"pieces_per_load,over=0,whole"`

	// AttendedShare is the part of run and load time in which a person is tied
	// to the machine; absent means 1.
	AttendedShare *Number `book:"attended_share,min=0,max=1"`
	// SampledShare is the share of pieces an inspection looks at; absent means
	// all.
	SampledShare *Number `book:"sampled_share,min=0,max=1"`
	// Characteristics are what an inspection measures, in place of a time per
	// piece and a sampled share.
	Characteristics []Characteristic `book:"characteristics"`
	// MinPerDM2 is the time that polishing, blasting or masking takes by area;
	// it is added to the other parts of the time per piece. AreaDM2 is the area
	// of one piece that is worked on; absent means its surface, computed.
	MinPerDM2 *Number `book:"min_per_dm2,over=0"`
	AreaDM2   *Number `book:"area_dm2,over=0"`
	// Learning is how the time per piece falls with practice.
	Learning *Learning `book:"learning"`
	// ToolsPerPiece is the cost of tools worn per piece, in the currency of
	// the book.
	ToolsPerPiece *Number `book:"tools_per_piece,min=0"`
	// Yield is good out ÷ in, 0 < yield ≤ 1; absent means 1.
	Yield *Number `book:"yield,over=0,max=1"`

	Treatment *Treatment `book:"treatment"`

	// Features are what a machining operation cuts, in place of entered times
	// of cutting, tool changes and worn edges, and of entered cost of tools.
	Features []Feature `book:"features"`
	// Material is what the features are cut in; absent means that of the blank,
	// or the one material that all parts in an assembly consist of.
	Material ID `book:"material"`
}

// Treatment is what an outside process does to each piece.
type Treatment struct {
	Process ID `book:"process,required"`
	// AreaDM2 is the area of one piece that enters the bath; absent means its
	// surface, computed. MaskedDM2 of it stays bare.
	AreaDM2   *Number `book:"area_dm2,over=0"`
	MaskedDM2 *Number `book:"masked_dm2,min=0"`
	// Class is that of the standard for the finish: SC2, AA15; or, for nickel, a
	// designation such as NiP(10)15. It sets the least thickness.
	Class string `book:"class"`
	// ThicknessUM absent means the least thickness of the class.
	ThicknessUM *Number `book:"thickness_um,over=0"`
	// ThreadPitchMM is that of an external thread that is coated.
	ThreadPitchMM *Number `book:"thread_pitch_mm,over=0,single"`
	Masks         *Number `book:"masks,min=0,whole"`
	PiecesPerLoad *Number `book:"pieces_per_load,over=0,whole"`
	// SpaceDM3 is the room that a piece takes in a load. Contacts are the places by
	// which it hangs that are charged.
	SpaceDM3 *Number `book:"space_dm3,over=0"`
	Contacts *Number `book:"contacts,min=0,whole"`
	// Charges are those of the process that are made when asked for: a report.
	Charges []ID `book:"charges"`
}

// LearningModel says what falls by the rate each time the count doubles.
type LearningModel string

// The models. The same rate gives very different totals under them, so a rate is
// never without its model.
const (
	AverageModel LearningModel = "average" // the average time of all units so far (Wright)
	UnitModel    LearningModel = "unit"    // the time of the unit itself (Crawford)
)

// Values lists the words of the book.
func (LearningModel) Values() []string { return []string{"average", "unit"} }

// Learning is how the time per piece of an operation falls with practice.
type Learning struct {
	Model LearningModel `book:"model,required"`
	// Rate is what a doubling of the count leaves of the time, 0.5 < rate ≤ 1.
	Rate Number `book:"rate,required,over=0.5,max=1"`
	// MadeBefore are the units made before this batch; absent means none.
	MadeBefore *Number `book:"made_before,min=0,whole"`
	// The time entered for a piece is that of the first unit; or the average of
	// the first units up to a count, or the time of one unit.
	AverageAt *Number `book:"average_at,min=1,whole"`
	UnitAt    *Number `book:"unit_at,min=1,whole"`
	// FloorMin is the time per piece that no practice gets below.
	FloorMin *Number `book:"floor_min,over=0"`
}

// Characteristic is one thing that an inspection measures: a roughness, a
// flatness, the pull of a magnet.
type Characteristic struct {
	Name       string `book:"name,required"`
	MeasureMin Number `book:"measure_min,required,min=0"` // on a piece that is looked at
	// SampledShare is the share of pieces it is measured on; absent means all.
	SampledShare *Number `book:"sampled_share,min=0,max=1"`
}
