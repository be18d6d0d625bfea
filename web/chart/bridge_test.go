package chart

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

func amount(label, v string) Mark { return Mark{Label: label, Text: v, Value: v} }

func bridge(start, end string, changes ...string) (Bridge, error) {
	d := BridgeData{ID: "b", Title: "t", Unit: "EUR", Start: amount("start", start), End: amount("end", end), Difference: amount("difference", "0")}
	for i, c := range changes {
		d.Changes = append(d.Changes, amount(fmt.Sprint("change ", i), c))
	}
	return NewBridge(d)
}

func TestBridgeLeadsFromTotalToTotal(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		start, end string
		changes    []string
		cut        bool
		zero       string
		want       string
	}{
		{"40", "60", []string{"60", "-40"}, false, "0.00%", "[sum 0.00% 40.00% up 40.00% 60.00% down 60.00% 40.00% sum 0.00% 60.00%]"},
		{"20", "-60", []string{"20", "-100"}, false, "60.00%", "[sum 60.00% 20.00% up 80.00% 20.00% down 0.00% 100.00% sum 0.00% 60.00%]"},
		{"-20", "-40", []string{"-20"}, false, "100.00%", "[sum 50.00% 50.00% down 0.00% 50.00% sum 0.00% 100.00%]"},
		{"115", "120", []string{"5", "0"}, true, "", "[sum 0.00% 37.50% up 37.50% 62.50% down 100.00% 0.00% sum 0.00% 100.00%]"},
		{"-120", "-115", []string{"5"}, true, "", "[sum 0.00% 100.00% up 0.00% 62.50% sum 62.50% 37.50%]"},
		{"7", "7", nil, false, "0.00%", "[sum 0.00% 100.00% sum 0.00% 100.00%]"},
		{"0", "0", nil, false, "50.00%", "[sum 50.00% 0.00% sum 50.00% 0.00%]"},
	} {
		b, err := bridge(c.start, c.end, c.changes...)
		var got []string
		for _, r := range b.Rows {
			got = append(got, r.Class+" "+r.X+" "+r.Width)
		}
		if err != nil || fmt.Sprint(got) != c.want || b.Cut != c.cut || b.Zero != c.zero {
			t.Errorf("%s to %s: %v, cut %v, zero %q, %v\nwant %s, cut %v, zero %q", c.start, c.end, got, b.Cut, b.Zero, err, c.want, c.cut, c.zero)
		}
		if len(b.Table.Rows) != len(c.changes)+3 {
			t.Errorf("%d rows in the table", len(b.Table.Rows))
		}
	}
}

func TestSmallChangesAreJoined(t *testing.T) {
	t.Parallel()
	large := slices.Repeat([]string{"10"}, mostChanges-1)
	b, err := bridge("100", "271", append([]string{"1", "20", "-1"}, append(large, "1")...)...)
	if err != nil || len(b.Rows) != mostChanges+3 || b.Rows[1].Text != "20" || b.Rows[2].Text != "10" {
		t.Fatalf("%+v, %v", b.Rows, err)
	}
	others, end := b.Rows[mostChanges+1], b.Rows[mostChanges+2]
	if !others.Others || others.Label != "3 others together, each in the table" || len(b.Table.Rows) != mostChanges+6 {
		t.Errorf("%+v", b.Rows)
	}
	if others.From != others.X || end.From != end.Width {
		t.Errorf("the bars do not meet: %+v", b.Rows)
	}
}

func TestBridgeMustAddUp(t *testing.T) {
	t.Parallel()
	if _, err := bridge("100", "131", "30"); err == nil || !strings.Contains(err.Error(), "is 131, and the changes lead to 130") {
		t.Errorf("%v", err)
	}
	if _, err := bridge("100", "131.00000001", "31"); err != nil {
		t.Errorf("rounding is refused: %v", err)
	}
}
