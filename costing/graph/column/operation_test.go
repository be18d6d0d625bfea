package column

import (
	"testing"

	"kerfbook/costing/graph"
)

func TestEveryOperationIsFilled(t *testing.T) {
	t.Parallel()
	for op, f := range compilers {
		if f == nil {
			t.Errorf("nothing computes %s", graph.Op(op))
		}
	}
}
