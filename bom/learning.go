package bom

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
