package rates_test

import (
	"strings"
	"testing"

	"kerfbook/bom"
	"kerfbook/costing/rates"
)

// TestToolOfTheOtherMachine: where no tool of the kind is there, the kind that the tools of
// the work centre can cut is named, if there is one.
func TestToolOfTheOtherMachine(t *testing.T) {
	t.Parallel()
	tools := []bom.Tool{{ID: "RIGHT", Kind: bom.TurningTool, WorkCentres: []bom.ID{"LATHE"}}}
	for centre, told := range map[bom.ID]bool{"LATHE": true, "MILL": false} {
		search := rates.ToolSearch{Tools: tools, Centre: centre}
		_, why := search.For(&bom.Feature{Kind: bom.Chamfer})
		if strings.Contains(why, "1 tool is of another kind; a chamfer is cut by a chamfer mill, or make its kind turn_profile, which the tools here can cut") != told {
			t.Errorf("%s: %s", centre, why)
		}
	}
}

// TestOwnSpeedIsNotLookedUp: a tool that lacks data for one feature cuts another of its kind
// that states speed and feed, in whatever order they are asked for.
func TestOwnSpeedIsNotLookedUp(t *testing.T) {
	t.Parallel()
	n := bom.Whole(1)
	tool := bom.Tool{ID: "D5", Kind: bom.DrillTool, DiameterMM: &n}
	plain := &bom.Feature{Kind: bom.Drill, DiameterMM: &n, DepthMM: &n}
	own := &bom.Feature{Kind: bom.Drill, DiameterMM: &n, DepthMM: &n, SpeedMMin: &n, FeedMM: &n}
	search := rates.ToolSearch{Tools: []bom.Tool{tool}, Materials: []bom.ID{"BRASS"}}
	for _, f := range []*bom.Feature{plain, own, plain, own} {
		if found, why := search.For(f); (len(found) == 1) != (f == own) {
			t.Errorf("%d found: %s", len(found), why)
		}
	}
}
