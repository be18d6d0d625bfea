package study

import (
	"testing"

	"kerfbook/bom"
)

// TestCutCalled: what is taken away is called as the part calls it, with its decimal point.
func TestCutCalled(t *testing.T) {
	t.Parallel()
	part := &bom.Part{Routing: []bom.Operation{{Number: 10}, {Number: 15, Features: []bom.Feature{{ID: "1-hole-5-3-across", Name: "hole 5.3 across"}, {ID: "2-thread-m6-pitch-1", Name: "thread M6, pitch 1"}}}}}
	for named, want := range map[string]string{"15/1-hole-5-3-across": "hole 5.3 across", "15/2-thread-m6-pitch-1": "thread M6, pitch 1", "10/1-hole-5-3-across": "", "": ""} {
		if got := cutCalled(part, named); got != want {
			t.Errorf("%q is called %q", named, got)
		}
	}
}
