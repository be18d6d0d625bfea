package study

import (
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
)

// TestCurveEnds looks that the line before a break ends empty, where the curve
// would be without the step, and the one after begins filled.
func TestCurveEnds(t *testing.T) {
	t.Parallel()
	c := study.BatchCurve{Trim: "plain", Figure: answer.Figure{Key: "variant/plain/each/full"},
		Runs:   []study.CurveRun{{From: 1, To: 3}, {From: 4, To: 5}, {From: 6, To: 7, Counted: true}},
		Points: []study.CurveAt{{Quantity: 1, Value: "12"}, {Quantity: 2, Value: "11"}, {Quantity: 3, Value: "10"}, {Quantity: 4, Value: "14"}, {Quantity: 5, Value: "13"}, {Quantity: 6, Value: "9"}, {Quantity: 7, Value: "8"}},
		Breaks: []study.CurveBreak{{UpTo: 3, From: 4, Before: "10", After: "14", Effect: "18"}}}
	runs := (&curveLayout{}).runs(c)
	if len(runs) != 4 {
		t.Fatalf("%d runs: %+v", len(runs), runs)
	}
	if end := runs[0].Points[3]; !runs[0].OpenEnd || end.X != 4 || end.Y != 9.5 {
		t.Errorf("the first run ends with %+v, open %v; want an open end at 4 and 14 − 18 ÷ 4", end, runs[0].OpenEnd)
	}
	if runs[1].Points[0].X != 4 || runs[1].Points[0].Y != 14 || runs[1].OpenEnd {
		t.Errorf("the second run is %+v", runs[1])
	}
	if len(runs[2].Points) != 1 || len(runs[3].Points) != 1 {
		t.Error("points that are counted piece by piece are joined")
	}
	c.Figure.Key = "variant/plain/each/production"
	if runs := (&curveLayout{}).runs(c); runs[0].OpenEnd {
		t.Error("an effect on the full cost is drawn on another figure")
	}
}
