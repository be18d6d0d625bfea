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
		_, why := rates.ToolSearch{Tools: tools, Centre: centre}.For(&bom.Feature{Kind: bom.Chamfer})
		if strings.Contains(why, "1 tool is of another kind; a chamfer is cut by a chamfer mill, or make its kind turn_profile, which the tools here can cut") != told {
			t.Errorf("%s: %s", centre, why)
		}
	}
}
