package variant_test

import (
	"errors"
	"fmt"
	"testing"

	"kerfbook/bom"
	"kerfbook/bom/variant"
)

type choices = map[bom.ID]bom.ID

func lamp() *bom.Product {
	return &bom.Product{
		Number: "LAMP",
		Options: []bom.Option{
			{ID: "shade", Choices: []bom.Choice{{ID: "pom"}, {ID: "acrylic"}, {ID: "alu"}}},
			{ID: "mount", Choices: []bom.Choice{{ID: "desk"}, {ID: "wall"}}},
			{ID: "face", Choices: []bom.Choice{{ID: "milled"}, {ID: "mirror"}}},
		},
		Rules: []bom.Rule{
			{Kind: bom.Requires, If: bom.When{"face": {"mirror"}}, Then: bom.When{"shade": {"acrylic", "alu"}}, Reason: "the plain shade hides it"},
			{Kind: bom.Excludes, If: bom.When{"mount": {"wall"}}, Then: bom.When{"shade": {"acrylic"}}},
			{Kind: bom.OnlyWith, If: bom.When{"shade": {"alu"}}, Then: bom.When{"mount": {"desk"}, "face": {"mirror"}}},
		},
		Places: []bom.Place{{ID: "cover", Required: true}, {ID: "clip"}},
		Positions: []bom.Position{
			{Number: 10, Part: "HEAD", Quantity: bom.Whole(1)},
			{Number: 20, Part: "S-POM", Place: "cover", When: []bom.When{{"shade": {"pom"}}}},
			{Number: 30, Part: "S-CLR", Place: "cover", When: []bom.When{{"shade": {"acrylic"}}}},
			{Number: 40, Part: "S-ALU", Place: "cover", When: []bom.When{{"shade": {"alu"}, "mount": {"desk"}}, {"mount": {"wall"}, "face": {"mirror"}}}},
			{Number: 50, Part: "CLIP", Place: "clip", When: []bom.When{{"mount": {"wall"}}}},
		},
	}
}

func TestResolve(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		shade, mount, face bom.ID
		want               string
	}{
		{"pom", "desk", "milled", "[10 20] <nil>"},
		{"pom", "wall", "milled", "[10 20 50] <nil>"},
		{"alu", "desk", "mirror", "[10 40] <nil>"},
		{"acrylic", "desk", "mirror", "[10 30] <nil>"},
		{"pom", "desk", "mirror", "[] product LAMP: rule 1 is broken: face mirror requires shade acrylic or alu (the plain shade hides it)"},
		{"acrylic", "wall", "milled", "[] product LAMP: rule 2 is broken: mount wall excludes shade acrylic"},
		{"alu", "desk", "milled", "[] product LAMP: rule 3 is broken: shade alu is possible only with face mirror and mount desk"},
		{"pom", "wall", "mirror", "[] product LAMP: rule 1 is broken: face mirror requires shade acrylic or alu (the plain shade hides it); " +
			"place cover takes one part, but S-POM (position 20) and S-ALU (position 40) apply"},
		{"alu", "wall", "milled", "[] product LAMP: rule 3 is broken: shade alu is possible only with face mirror and mount desk; " +
			"place cover has no part; no position for it applies"},
		{"alu", "roof", "milled", "[] product LAMP: option mount has no choice roof; choose one of desk, wall"},
	} {
		positions, err := variant.Resolve(lamp(), choices{"shade": c.shade, "mount": c.mount, "face": c.face})
		numbers := []int{}
		for _, p := range positions {
			numbers = append(numbers, p.Number)
		}
		if got := fmt.Sprint(numbers, " ", err); got != c.want {
			t.Errorf("%s %s %s:\ngot  %s\nwant %s", c.shade, c.mount, c.face, got, c.want)
		}
	}
}

func TestResolveNamesEveryFault(t *testing.T) {
	t.Parallel()
	trim := &bom.Trim{ID: "glow", Choices: choices{"shade": "pom", "size": "big", "colour": "red"}}
	_, err := variant.ResolveTrim(lamp(), trim)
	want := "product LAMP, trim glow: option mount is not chosen; choose one of desk, wall; " +
		"option face is not chosen; choose one of milled, mirror; the product has no option colour; the product has no option size"
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	var unchosen *variant.UnchosenError
	var unknown *variant.UnknownOptionError
	if !errors.As(err, &unchosen) || unchosen.Option.ID != "mount" || !errors.As(err, &unknown) || unknown.Option != "colour" {
		t.Errorf("the faults are %v and %v", unchosen, unknown)
	}
}

func TestResolveTypedFaults(t *testing.T) {
	t.Parallel()
	p := lamp()
	p.Rules = nil
	_, err := variant.Resolve(p, choices{"shade": "pom", "mount": "wall", "face": "mirror"})
	var contested *variant.ContestedPlaceError
	if !errors.As(err, &contested) || contested.Place.ID != "cover" || len(contested.Positions) != 2 || contested.Positions[1].Part != "S-ALU" {
		t.Errorf("got %v", err)
	}
	_, err = variant.Resolve(p, choices{"shade": "alu", "mount": "wall", "face": "milled"})
	var empty *variant.EmptyPlaceError
	if !errors.As(err, &empty) || empty.Place.ID != "cover" {
		t.Errorf("got %v", err)
	}
	_, err = variant.Resolve(lamp(), choices{"shade": "pom", "mount": "desk", "face": "mirror"})
	var broken *variant.BrokenRuleError
	if !errors.As(err, &broken) || broken.Index != 0 || broken.Rule.Reason != "the plain shade hides it" {
		t.Errorf("got %v", err)
	}
}

func TestResolveWithoutOptions(t *testing.T) {
	t.Parallel()
	p := &bom.Product{Number: "P", Positions: []bom.Position{{Number: 1, Part: "A"}, {Number: 2, Part: "B", When: []bom.When{{}}}}}
	if positions, err := variant.ResolveTrim(p, &bom.Trim{ID: "only"}); err != nil || len(positions) != 2 {
		t.Errorf("got %v, %v", positions, err)
	}
}
