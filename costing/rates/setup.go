package rates

import "kerfbook/bom"

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
