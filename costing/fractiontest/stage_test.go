package fractiontest

import "testing"

// TestPractice: twice the count leaves the rate, and a published table of an 80 %
// curve (source `learning-coefficients`, unit 3, 5, 7 and 10 with four digits).
func TestPractice(t *testing.T) {
	t.Parallel()
	b := Slope(Rat("0.8"))
	for k, want := range map[int64]string{1: "1", 2: "0.8", 4: "0.64", 1024: "0.1073741824"} {
		got, _ := Raised(k, b).Rat(nil)
		Same(t, "time of a unit at 80 %", got, Rat(want))
	}
	for k, want := range map[int64]float64{3: 0.702, 5: 0.596, 7: 0.534, 10: 0.477} {
		if got, _ := Raised(k, b).Float64(); got < want-0.0005 || got > want+0.0005 {
			t.Errorf("unit %d takes %v, want %v", k, got, want)
		}
	}
	got, _ := practised(Rat("0.8"), Rat("10")).Float64()
	if got < 6.3145 || got > 6.3155 {
		t.Errorf("ten units take %v, want 6.315", got)
	}
}
