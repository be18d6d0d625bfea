package workbook

import (
	"testing"

	"kerfbook/costing/graph"
)

func TestEveryOperationHasAForm(t *testing.T) {
	t.Parallel()
	for op := range graph.OpCount {
		if printers[op] == nil {
			t.Errorf("operation %s has no form", op)
		}
	}
}

func TestCellNames(t *testing.T) {
	t.Parallel()
	for key, want := range map[string]string{
		"part/EMB-010/op/30/run-time": "_part_EMB_010_op_30_run_time",
		"a.b-c_d":                     "_a_b_c_d",
		"xlfn/SUM":                    "__xlfn_SUM",
		"XLNM.Print_Area":             "__XLNM_Print_Area",
		"A1":                          "_A1",
	} {
		if got := cellName(key); got != want {
			t.Errorf("cellName(%q) = %q, want %q", key, got, want)
		}
	}
}

func TestNamesAreUniqueWhateverTheirCase(t *testing.T) {
	t.Parallel()
	s := newNameSet(6, "_")
	for _, c := range []struct{ want, got string }{
		{"_rate", "_rate"}, {"_Rate", "_Rat_2"}, {"_rate", "_rat_3"}, {"_rat_2", "_rat_4"},
		{"_longer_than_six", "_longe"}, {"_longer", "_lon_2"},
	} {
		if got := s.claim(c.want); got != c.got {
			t.Errorf("claim(%q) = %q, want %q", c.want, got, c.got)
		}
	}
}
