package rates

import (
	"errors"
	"strings"
	"testing"

	"kerfbook/bom"
)

func finishes(t *testing.T) Finishes {
	t.Helper()
	f, err := ReferenceFinishes()
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestFinishRowsHaveASource: every row says where it is from and when it was
// looked at, and no class or level is there twice.
func TestFinishRowsHaveASource(t *testing.T) {
	t.Parallel()
	f := finishes(t)
	seen := map[string]bool{}
	look := func(key, source string, checked bom.Date) {
		if source == "" || checked == "" {
			t.Errorf("%s has the source %q, checked on %q", key, source, checked)
		}
		if seen[key] {
			t.Errorf("%s is there twice", key)
		}
		seen[key] = true
	}
	for _, c := range f.Classes {
		look("class "+string(c.ID), c.Source, c.CheckedOn)
		if (c.LeastUM == nil) == (c.UsualFromUM == nil) {
			t.Errorf("class %s has either a least thickness or usual ones", c.ID)
		}
	}
	for _, d := range f.Deposits {
		look("deposit "+string(d.Level), d.Source, d.CheckedOn)
		for _, n := range []bom.Number{d.DensityGCM3, d.DepositUMH} {
			if !n.IsRange || !n.Low.LessThan(n.Likely) || !n.Likely.LessThan(n.High) {
				t.Errorf("deposit %s: %v is no range", d.Level, n)
			}
		}
	}
	for _, g := range f.Growth {
		look("growth "+string(g.Finish), g.Source, g.CheckedOn)
	}
	for _, c := range f.Coatings {
		look("coating "+string(c.Finish), c.Source, c.CheckedOn)
		if _, metal := f.BathOf(c.Finish); metal != (c.PerFaradayG != nil) {
			t.Errorf("the metal of %s has no bath, or a bath no metal", c.Finish)
		}
	}
	for _, b := range f.Baths {
		look("bath "+string(b.Finish), b.Source, b.CheckedOn)
	}
	for _, u := range f.Usual {
		look("thickness "+string(u.Finish), u.Source, u.CheckedOn)
	}
	for _, r := range f.Threads {
		look("thread "+r.PitchMM.Likely.String(), r.Source, r.CheckedOn)
	}
	for _, k := range ElectrolessNickel.Values() {
		if _, ok := f.GrowthOf(FinishKind(k)); !ok {
			t.Errorf("no growth of %s", k)
		}
	}
	for _, p := range Phosphorus("").Values() {
		if _, ok := f.Deposit(Phosphorus(p)); !ok {
			t.Errorf("no deposit of %s phosphorus", p)
		}
	}
}

// TestFromMemoryIsUnverified: what was recalled says so, and blocks a quote that
// rests on it.
func TestFromMemoryIsUnverified(t *testing.T) {
	t.Parallel()
	f := finishes(t)
	for class, unverified := range map[string]bool{"SC2": false, "AA15": true} {
		kind := ElectrolessNickel
		if class[0] == 'A' {
			kind = Anodising
		}
		row, err := f.Class(kind, class)
		if err != nil || row.Unverified != unverified {
			t.Errorf("%s: unverified %v (%v)", class, row.Unverified, err)
		}
	}
}

func TestClasses(t *testing.T) {
	t.Parallel()
	f := finishes(t)
	for _, c := range []struct {
		finish         FinishKind
		class          string
		least, percent string // "" for none
	}{
		{ElectrolessNickel, "SC0", "0.1", ""},
		{ElectrolessNickel, "SC4", "75", ""},
		{ElectrolessNickel, "NiP(10)15", "15", "10"},
		{ElectrolessNickel, "NiP(8.5)12.7[300]", "12.7", "8.5"},
		{ElectrolessNickel, "Autocatalytic nickel coating ISO 4527 - Cu<58>/NiP(3)5", "5", "3"},
		{Anodising, "AA20", "20", ""},
		{HardAnodising, "ISO10074", "", ""},
		{Nickel, "Fe/Ni20b Cr r", "20", ""},
		{Nickel, "Ni10b", "10", ""},
		{Zinc, "Fe/Zn8/An", "8", ""},
		{Zinc, "Zn25", "25", ""},
		{Tin, "B545-F", "1.5", ""},
		{Gold, "Cu/Ni3 Au0.5", "0.5", ""},
		{Nickel, "Cu/Ni3 Au0.5", "3", ""},
		{HardGold, "Au-1", "1.27", ""},
		{Powder, "outdoors", "60", ""},
	} {
		row, err := f.Class(c.finish, c.class)
		if err != nil {
			t.Errorf("%s: %v", c.class, err)
			continue
		}
		if likelyText(row.Value.LeastUM) != c.least || likelyText(row.Value.Percent) != c.percent {
			t.Errorf("%s: at least %s µm, %s %%", c.class, likelyText(row.Value.LeastUM), likelyText(row.Value.Percent))
		}
	}
}

func likelyText(n *bom.Number) string {
	if n == nil {
		return ""
	}
	return n.Likely.String()
}

// TestUnknownClasses names the classes that are known.
func TestUnknownClasses(t *testing.T) {
	t.Parallel()
	f := finishes(t)
	for _, c := range []struct {
		finish FinishKind
		class  string
		known  string
	}{
		{ElectrolessNickel, "SC5", "SC0, SC1, SC2, SC3, SC4, and designations"},
		{ElectrolessNickel, "AA15", "SC0"},
		{ElectrolessNickel, "NiP(10)", "NiP(10)15"},
		{ElectrolessNickel, "NiP(10)0", "NiP(10)15"},
		{ElectrolessNickel, "NiP(1e9)15", "NiP(10)15"},
		{ElectrolessNickel, "NiP(" + strings.Repeat("9", 4000) + ")15", "NiP(10)15"},
		{Anodising, "NiP(10)15", "AA5, AA10, AA15, AA20, AA25"},
		{HardAnodising, "AA15", "ISO10074"},
		{Zinc, "Fe/Ni8", "Zn5, Zn8, Zn12, Zn25, and designations such as Fe/Zn10"},
		{Zinc, "Zn0", "Zn5"},
		{Zinc, "Zn" + strings.Repeat("9", 4000), "Zn5"},
		{Vibratory, "AA15", "vibratory has no classes"},
	} {
		_, err := f.Class(c.finish, c.class)
		var unknown *UnknownClassError
		if !errors.As(err, &unknown) || !strings.Contains(err.Error(), c.known) || len(err.Error()) > 250 {
			t.Errorf("%.20s: %v", c.class, err)
		}
	}
}

// TestDepositHolds: the ends of a range of phosphorus belong to it.
func TestDepositHolds(t *testing.T) {
	t.Parallel()
	row := NickelDeposit{FromPercent: bom.Whole(5), ToPercent: bom.Whole(9)}
	for percent, want := range map[int64]bool{4: false, 5: true, 7: true, 9: true, 10: false} {
		if row.Holds(bom.Whole(percent)) != want {
			t.Errorf("%d %%: %t", percent, !want)
		}
	}
}
