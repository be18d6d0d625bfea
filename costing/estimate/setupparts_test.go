package estimate_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"kerfbook/bom"
	ft "kerfbook/costing/fractiontest"
	"kerfbook/costing/rates"
)

const setUpAtMill = `tool_change_s: 30, labour_rate_per_h: 45,
    setup: {fixture_min: 12, tool_min: 3, zero_min: 5, prove_out_min: 7, first_off_min: 5, clean_down_min: 6, source: "common practice"},
    programming: {program_min: 20, feature_min: 5}`

// TestSetupFromItsParts: 12 + 5 + 7 + 5 + 6 = 35 minutes and 3 for each tool that the
// features chose; a set-up entered wins; one good for five of ten pieces is made twice;
// and a program of 20 minutes and 5 for each feature, at 45 an hour, is borne by the
// pieces that the part states; 40 minutes said for the part take their place.
func TestSetupFromItsParts(t *testing.T) {
	t.Parallel()
	const none = "tool_change_s: 30"
	for name, c := range map[string]struct {
		replace []string
		want    map[string]string
		absent  string
	}{
		"no parts":     {[]string{none, none + ", labour_rate_per_h: 45"}, nil, "part/A/op/10/setup-total"},
		"its parts":    {[]string{none, setUpAtMill}, map[string]string{"part/A/op/10/setup-time": "41", "part/B/op/10/setup-time": "38", "part/A/op/10/setup-total": "41", "part/A/op/10/tools-used": "2"}, "part/A/op/10/programming-share"},
		"entered":      {[]string{none, setUpAtMill, "handling_min: 0.5", "handling_min: 0.5\n        setup_min: 17"}, map[string]string{"part/A/op/10/setup-total": "17"}, "part/A/op/10/setup-tools"},
		"twice":        {[]string{none, setUpAtMill, "handling_min: 0.5", "handling_min: 0.5\n        pieces_per_setup: 5"}, map[string]string{"part/A/op/10/setups": "2", "part/A/op/10/setup-total": "82"}, ""},
		"programming":  {[]string{none, setUpAtMill, "name: part\n    kind: made", "name: part\n    kind: made\n    programs_over_pieces: 50"}, map[string]string{"part/A/op/10/programming-time": "30", "part/A/op/10/programming-share": "0.45", "part/A/each/special": "0.45"}, "part/B/op/10/programming-share"},
		"said":         {[]string{none, setUpAtMill, "name: part\n    kind: made", "name: part\n    kind: made\n    programming_min: 40\n    programs_over_pieces: 50"}, map[string]string{"part/A/programming-time": "40", "part/A/programming-share": "0.6", "part/A/each/special": "0.6"}, "part/A/op/10/programming-share"},
		"hour of both": {[]string{none, strings.Replace(setUpAtMill, "labour_rate_per_h: 45", "labour_rate_per_h: 0", 1), "name: part\n    kind: made", "name: part\n    kind: made\n    programming_min: 40\n    programs_over_pieces: 50"}, map[string]string{"part/A/programming-share": "0.8"}, ""},
		"over none":    {[]string{none, setUpAtMill, "name: part\n    kind: made", "name: part\n    kind: made\n    programming_min: 40"}, nil, "part/A/programming-share"},
	} {
		s := featuredSheet(t, c.replace...)
		for key, want := range c.want {
			ft.Same(t, name+": "+key, s.key(key), ft.Rat(want))
		}
		if c.absent != "" && s.Has(c.absent) {
			t.Errorf("%s: there is a %s", name, c.absent)
		}
	}
	s := featuredSheet(t, none, setUpAtMill, "depth_mm: 20, through", "peck_mm: 2, through")
	if n := s.est.Graph.Node(s.ID("part/A/op/10/setup-time")); n.Missing == "" {
		t.Errorf("a hole without depth may need other tools, and its set-up is %+v", n)
	}
}

// TestSetupRecount takes the set-up that is entered for the demo's heat sink away and
// gives its mill the parts; tools are counted by the second reckoning, which chooses
// them too.
func TestSetupRecount(t *testing.T) {
	t.Parallel()
	b := atHome(t)
	at := slices.IndexFunc(b.Parts, func(p bom.Part) bool { return p.Number == "HS-010" })
	op := &b.Parts[at].Routing[1]
	op.SetupMin = nil
	mill := find(t, b.WorkCentres, func(w *rates.WorkCentre) bool { return w.ID == op.WorkCentre })
	mill.Setup = &rates.Setup{FixtureMin: ft.Num("14"), ToolMin: ft.Num("3.5"), CleanDownMin: ft.Num("6")}
	m := newMachinist(t, b, op)
	var tools []bom.ID
	for i := range op.Features {
		tools = append(tools, m.price(&op.Features[i]).tool)
	}
	slices.Sort(tools)
	used := len(slices.Compact(tools))
	got, _ := evaluatedBatch(t, b, "glow=100").key("part/HS-010/op/20/setup-time").Float64()
	if want := 20 + 3.5*float64(used); used < 2 || math.Abs(got-want) > 1e-12 {
		t.Errorf("set up in %g min, want %g with %d tools", got, want, used)
	}
}
