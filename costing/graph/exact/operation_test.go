package exact

import (
	"testing"

	"kerfbook/costing/graph"
)

func TestEveryOperationIsFilled(t *testing.T) {
	t.Parallel()
	for op, f := range operations {
		if f == nil {
			t.Errorf("nothing computes %s", graph.Op(op))
		}
	}
}
