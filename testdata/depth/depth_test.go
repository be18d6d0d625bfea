package depth

import (
	"slices"
	"testing"
)

func TestByDayAndAtNight(t *testing.T) {
	t.Setenv(variable, "")
	if got := slices.Collect(Seeds(25, 99)); !slices.Equal(got, []uint64{99, 0, 1, 2}) || Of(25) != 3 || Of(1) != 1 || Seed(t, 7) != 7 {
		t.Errorf("by day seeds %v, %d of 25, %d of 1, seed %d", got, Of(25), Of(1), Seed(t, 7))
	}
	nights := map[uint64]string{}
	for _, name := range []string{"1", "2", "4294967295"} {
		t.Setenv(variable, name)
		got := slices.Collect(Seeds(25, 99))
		if !slices.Equal(got[:4], []uint64{99, 0, 1, 2}) || len(got) != 26 || Of(25) != 25 || Seed(t, 7) == 7 {
			t.Errorf("night %s: seeds %v, %d of 25, seed %d", name, got, Of(25), Seed(t, 7))
		}
		for _, seed := range got[4:] {
			if was, ok := nights[seed]; ok {
				t.Errorf("seed %d is drawn in the nights %s and %s", seed, was, name)
			}
			nights[seed] = name
		}
	}
}
