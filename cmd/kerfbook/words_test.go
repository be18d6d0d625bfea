package main

import (
	"strings"
	"testing"
)

// TestCountsAreNoPercentages: what has no unit is a number; only what is known to
// be a share is in per cent.
func TestCountsAreNoPercentages(t *testing.T) {
	t.Parallel()
	const slots = "part/HS-010/op/30/feature/FINS/slots"
	out := mustRun(t, strings.Fields("spread demo --day 2026-11-25 --draws 1 --figures variant/plain/price/direct/margin,"+slots+" --movers "+slots)...)
	line := lineWith(t, out, "fins: slots")
	if strings.Contains(line, "%") || strings.Contains(line, "1900") || !strings.HasSuffix(line, " 19") {
		t.Errorf("a count: %s", line)
	}
	if line := lineWith(t, out, "direct: margin"); !strings.Contains(line, " % ") {
		t.Errorf("a share: %s", line)
	}
	out = mustRun(t, strings.Fields("curve demo --day 2026-11-25 --trim glow --from 40 --to 60 --figure part/HS-010/stock-needed")...)
	if head, _, _ := strings.Cut(out, "\n"); !strings.HasSuffix(head, "; pieces of stock needed, batches of 40 to 60") {
		t.Errorf("heading: %s", head)
	}
	if line := lineWith(t, out, "  50 "); !strings.HasSuffix(line, " 2") {
		t.Errorf("a count against the quantity: %s", line)
	}
	out = mustRun(t, strings.Fields("compare demo --day 2026-11-25 --from glow@50 --to glow@250 --figure part/HS-010/stock-needed")...)
	if head, _, _ := strings.Cut(out, "\n"); head != "pieces of stock needed" {
		t.Errorf("heading: %q", head)
	}
	if line := lineWith(t, out, "difference "); strings.Contains(line, "00") {
		t.Errorf("a difference of counts: %s", line)
	}
}

// lineWith finds the first line of a text that has some words, blanks at its end
// taken off.
func lineWith(t *testing.T, text, words string) string {
	t.Helper()
	for line := range strings.SplitSeq(text, "\n") {
		if strings.Contains(line, words) {
			return strings.TrimRight(line, " ")
		}
	}
	t.Fatalf("no line has %q in\n%s", words, text)
	return ""
}

// TestEffectsAreMoney: whatever the figure is, what a step adds to the batch is.
func TestEffectsAreMoney(t *testing.T) {
	t.Parallel()
	out := mustRun(t, strings.Fields("curve demo --day 2026-11-25 --trim glow --from 100 --to 160 --figure variant/glow/price/direct/margin")...)
	if !strings.Contains(out, "what they add to the cost of the batch, EUR:") || !strings.Contains(lineWith(t, out, "from 117"), " 212.10 ") {
		t.Error(out)
	}
}

// TestWordsOfAnswers looks for what must be told beside the numbers.
func TestWordsOfAnswers(t *testing.T) {
	t.Parallel()
	const speed = "cutting/copper.slitting_saw.carbide/speed"
	for args, want := range map[string][]string{
		"spread demo --draws 1 --set " + speed + "=140": {"10240 draws (1 asked for, rounded up to whole blocks of 1,024, at least ten)", "cutting speed: fixed at 140 m/min, no longer a range",
			"price needed for the margin wanted", "sampling error"},
		"spread demo --draws 1 --figures part/HS-010/op/40/piece-time --movers part/HS-010/op/40/piece-time": {"one input has all of it", " 100 "},
		"spread demo --draws 1 --chance 75":                        {"at 75 %"},
		"curve demo --trim glow --from 10 --to 60 --quantity 1000": {"A batch of 1000 glow, which is outside the range of 10 to 60, pays back"},
		"compare demo --from plain@100 --to glow@50 --most 3":      {"batch quantity of Plain; after: batch quantity of Glow", "% of the difference", "other parts", "lines of cost that only one side has or that are built differently"},
		"compare demo --from plain@100 --to tune@100":              {"lines of cost that only one side has or that are built differently"},
	} {
		out := mustRun(t, append(strings.Fields(args), "--day", "2026-11-25")...)
		for _, words := range want {
			if !strings.Contains(out, words) {
				t.Errorf("%s: no %q in\n%s", args, words, out)
			}
		}
	}
	if out := mustRun(t, "spread", "--help"); !strings.Contains(out, "per cent, such as 75") || !strings.Contains(out, "draws × figures") {
		t.Error(out)
	}
}
