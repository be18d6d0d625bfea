package rates

import (
	"cmp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

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
	out := MetricThread(bom.Exactly(diameter), bom.Exactly(pitch))
	out.ID = bom.ID(name)
	return out, true, nil
}

// coreFits is the share of its pitch by which a hole may be wider or narrower than the core
// hole of a thread and be it: common practice, about what ISO 965-1 leaves to the minor
// diameter of an internal thread 6H (from memory).
var coreFits = decimal.New(15, -2)

// Core reports a diameter that is drilled for the thread.
func (t Thread) Core(diameter bom.Number) bool {
	return !diameter.Likely.Sub(t.CoreMM.Likely).Abs().GreaterThan(t.PitchMM.Likely.Mul(coreFits))
}

// MetricThread is the thread of a diameter and a pitch, as a drawing calls it; of one in no row
// the core is the diameter less the pitch.
func MetricThread(diameter, pitch bom.Number) Thread {
	rows, err := threads()
	at := slices.IndexFunc(rows.Threads, func(t Thread) bool {
		return t.DiameterMM.Likely.Equal(diameter.Likely) && t.PitchMM.Likely.Equal(pitch.Likely)
	})
	if err == nil && at >= 0 {
		return rows.Threads[at]
	}
	return Thread{ID: bom.ID("M" + diameter.Likely.String() + "×" + pitch.Likely.String()), DiameterMM: diameter, PitchMM: pitch,
		CoreMM: bom.Exactly(diameter.Likely.Sub(pitch.Likely)), Source: "pitch as named"}
}
