package rates

import (
	"cmp"
	"slices"
	"strings"

	"kerfbook/bom"
	"kerfbook/costing/reference"
)

// Thread is a metric thread as a drawing names it.
type Thread struct {
	ID         bom.ID     `book:"id,required"` // M6
	DiameterMM bom.Number `book:"diameter_mm,required,over=0"`
	PitchMM    bom.Number `book:"pitch_mm,required,over=0"`
	CoreMM     bom.Number `book:"core_mm,required,over=0"` // drilled before it is tapped
	Source     string     `book:"source,required"`
}

var threads = reference.Rows[struct {
	Threads []Thread `book:"threads"`
}]("threads.yaml")

// ThreadOf finds a thread by its designation, such as M6, or M10x1 with a fine pitch,
// whose core is the diameter less the pitch.
func ThreadOf(designation string) (Thread, bool, error) {
	rows, err := threads()
	if err != nil {
		return Thread{}, false, err
	}
	name := strings.NewReplacer(" ", "", "×", "X", ",", ".").Replace(strings.ToUpper(designation))
	if at := slices.IndexFunc(rows.Threads, func(t Thread) bool { return string(t.ID) == name }); at >= 0 {
		return rows.Threads[at], true, nil
	}
	across, along, fine := strings.Cut(strings.TrimPrefix(name, "M"), "X")
	diameter, err1 := bom.ParseDecimal(across)
	pitch, err2 := bom.ParseDecimal(along)
	if !fine || cmp.Or(err1, err2) != nil || !pitch.IsPositive() || !diameter.GreaterThan(pitch) || len(name) > 12 {
		return Thread{}, false, nil
	}
	return Thread{ID: bom.ID(name), DiameterMM: bom.Exactly(diameter), PitchMM: bom.Exactly(pitch), CoreMM: bom.Exactly(diameter.Sub(pitch)), Source: "pitch as named"}, true, nil
}
