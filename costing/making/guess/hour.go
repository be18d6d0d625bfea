package guess

import (
	"fmt"

	"kerfbook/bom"
	"kerfbook/costing/rates"
)

// Hour is one hour of somebody and the machine, which is the machine rate of where a part is
// made first, with the other machines of its routing.
type Hour struct {
	Of     *rates.WorkCentre
	Rate   bom.Number
	Shared []*rates.WorkCentre // whose wage is that hour, since most of it is a person's
	Apart  []*rates.WorkCentre // that came with the program, whose wage is another
}

// HourOf is that of a part; ok is false where its first machine has a wage beside its rate, or
// an hour that is worked out.
func HourOf(def *bom.Part, centre func(bom.ID) (*rates.WorkCentre, int)) (h Hour, ok bool) {
	if def.FirstGuess == nil {
		return h, false
	}
	p := Routed(def)
	at := first(p, bom.Machining)
	if at < 0 {
		return h, false
	}
	h.Of, _ = centre(p.Routing[at].WorkCentre)
	if h.Of == nil || h.Of.MachineRatePerH == nil || h.Of.LabourRatePerH == nil || !h.Of.LabourRatePerH.Likely.IsZero() {
		return h, false
	}
	h.Rate = *h.Of.MachineRatePerH
	seen := map[bom.ID]bool{h.Of.ID: true, "": true}
	for _, o := range p.Routing {
		w, _ := centre(o.WorkCentre)
		if w == nil || seen[w.ID] || w.LabourRatePerH == nil {
			continue
		}
		seen[w.ID] = true
		switch {
		case w.LabourRatePerH.Equal(h.Rate):
			h.Shared = append(h.Shared, w)
		case w.HourRate != nil && rates.Taken(w.HourRate.Source):
			h.Apart = append(h.Apart, w)
		}
	}
	return h, true
}

// At is that hour at another rate: the work centres as they are then.
func (h Hour) At(rate bom.Number) []rates.WorkCentre {
	out := []rates.WorkCentre{*h.Of}
	out[0].MachineRatePerH = &rate
	for _, w := range h.Shared {
		next := *w
		next.LabourRatePerH = &rate
		out = append(out, next)
	}
	return out
}

// Differ says of a machine that came with an hour of that time which one it is now.
func (h Hour) Differ(of *rates.WorkCentre) string {
	return fmt.Sprintf("an hour of you counts as %s at the %s and as %s at the %s: the one at the %s came with the hour of that time, enter what it is now", of.LabourRatePerH.Likely, of.Name, h.Rate.Likely, h.Of.Name, of.Name)
}
