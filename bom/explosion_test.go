package bom_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"kerfbook/bom"

	"github.com/shopspring/decimal"
)

func figure(text string) bom.Number { return bom.Exactly(decimal.RequireFromString(text)) }

// assembly makes a part from pairs "child quantity".
func assembly(number bom.ID, lines ...string) bom.Part {
	p := bom.Part{Number: number, Kind: bom.Assembly}
	for _, line := range lines {
		child, quantity, _ := strings.Cut(line, " ")
		p.Children = append(p.Children, bom.Child{Part: bom.ID(child), Quantity: figure(quantity)})
	}
	return p
}

// lamp holds a screw on three levels.
func lamp() []bom.Part {
	return []bom.Part{
		assembly("LAMP", "HEAD 1", "FOOT 2", "SCREW 3"),
		assembly("HEAD", "SCREW 4", "TAPE 0.125", "ARM 1"),
		assembly("ARM", "SCREW 2"),
		assembly("FOOT", "SCREW 1", "TAPE 0.3"),
		assembly("SCREW"),
		assembly("TAPE"),
	}
}

func TestExplode(t *testing.T) {
	t.Parallel()
	got, err := bom.Explode(bom.PartsByNumber(lamp()), bom.Need{"LAMP", decimal.NewFromInt(10)}, bom.Need{"HEAD", decimal.NewFromInt(1)})
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	for _, e := range got {
		text += fmt.Sprintf("%d %s %s; ", e.Level, e.Part, e.Quantity)
	}
	// SCREW: 10·3 + 11·4 + 11·2 + 20·1 = 116; TAPE: 11·0.125 + 20·0.3 = 7.375
	want := "0 LAMP 10; 1 FOOT 20; 1 HEAD 11; 2 ARM 11; 2 TAPE 7.375; 3 SCREW 116; "
	if text != want {
		t.Errorf("got  %s\nwant %s", text, want)
	}
}

func TestExplodeIsExact(t *testing.T) {
	t.Parallel()
	parts := bom.PartsByNumber([]bom.Part{assembly("A", "B 1.0000000001"), assembly("B", "C 3.0000000003"), assembly("C")})
	got, err := bom.Explode(parts, bom.Need{"A", decimal.RequireFromString("0.1")})
	if err != nil || got[2].Quantity.String() != "0.300000000060000000003" {
		t.Errorf("got %v, %v", got, err)
	}
}

func TestExplodeErrors(t *testing.T) {
	t.Parallel()
	one := decimal.NewFromInt(1)
	var missing *bom.MissingPartError
	_, err := bom.Explode(bom.PartsByNumber([]bom.Part{assembly("A", "B 1")}), bom.Need{"A", one})
	if !errors.As(err, &missing) || *missing != (bom.MissingPartError{Part: "B", In: "A"}) || err.Error() != "there is no part B, which A contains" {
		t.Errorf("got %v", err)
	}
	_, err = bom.Explode(nil, bom.Need{"A", one})
	if !errors.As(err, &missing) || err.Error() != "there is no part A" {
		t.Errorf("got %v", err)
	}
	var cycle *bom.CycleError
	_, err = bom.Explode(bom.PartsByNumber([]bom.Part{assembly("Z", "A 1"), assembly("A", "B 1"), assembly("B", "C 1", "A 1"), assembly("C", "A 2")}), bom.Need{"Z", one})
	if !errors.As(err, &cycle) || err.Error() != "part A contains itself: A > B > C > A" {
		t.Errorf("got %v", err)
	}
	var deep *bom.DepthError
	_, err = bom.Explode(bom.PartsByNumber(chain(bom.MaxLevels+2)), bom.Need{"P0", one})
	if !errors.As(err, &deep) || deep.Part != "P33" || !strings.Contains(err.Error(), "deeper than 32 levels") {
		t.Errorf("got %v", err)
	}
	if _, err = bom.Explode(bom.PartsByNumber(chain(bom.MaxLevels+1)), bom.Need{"P0", one}); err != nil {
		t.Errorf("%d levels: %v", bom.MaxLevels, err)
	}
}

// chain has each part twice in the one before, on two lines: 2^n paths.
func chain(n int) []bom.Part {
	parts := make([]bom.Part, n)
	for i := range parts {
		parts[i] = assembly(bom.ID(fmt.Sprintf("P%d", i)))
		if i+1 < n {
			next := fmt.Sprintf("P%d 1", i+1)
			parts[i] = assembly(parts[i].Number, next, next)
		}
	}
	return parts
}

func TestExplodeManyPaths(t *testing.T) {
	t.Parallel()
	got, err := bom.Explode(bom.PartsByNumber(chain(33)), bom.Need{"P0", decimal.NewFromInt(1)})
	if err != nil || !got[32].Quantity.Equal(decimal.NewFromInt(1<<32)) {
		t.Errorf("got %v, %v", got[32:], err)
	}
}

func TestFindCycle(t *testing.T) {
	t.Parallel()
	if path := bom.FindCycles(lamp()); path != nil {
		t.Errorf("got %v", path)
	}
	parts := []bom.Part{assembly("A", "B 1", "X 1"), assembly("B", "A 1"), assembly("S", "S 1"), assembly("T", "A 1")}
	if got := bom.CycleText(bom.FindCycles(parts)[0]); got != "A > B > A" {
		t.Errorf("got %s", got)
	}
	if got := bom.FindCycles(parts); len(got) != 2 || bom.CycleText(got[1]) != "S > S" {
		t.Errorf("got %v", got)
	}
	const long = 20_000
	ring := chain(long)
	ring[long-1] = assembly(ring[long-1].Number, "P0 1")
	if got := bom.FindCycles(ring)[0]; len(got) != long+1 {
		t.Errorf("a ring of %d parts gives a path of %d", long, len(got))
	}
}
