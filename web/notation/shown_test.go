package notation

import "testing"

func TestProse(t *testing.T) {
	t.Parallel()
	s := Style{Comma: true, Days: Dots}
	for text, want := range map[string]string{
		"the wall is 0.8 mm thick, 12.5 % more":       "the wall is 0,8 mm thick, 12,5 % more",
		"cutters of 0.2 to 0.5 mm":                    "cutters of 0,2 to 0,5 mm",
		"from 2 to 2.5 h":                             "from 2 to 2,5 h",
		"78.40 EUR each":                              "78,40 EUR each",
		"stainless steel 1.4305, chart 7.1, § 2.23.0": "stainless steel 1.4305, chart 7.1, § 2.23.0",
		"1.4305":           "1.4305",
		"12.50":            "12,50",
		" 0.5 %":           " 0,5 %",
		"M2.5 and HS-1.5 ": "M2.5 and HS-1.5 ",
		"version 1.2.3 in": "version 1.2.3 in",
		"as of 2026-11-25, 15:04 UTC; quote 2026-0001": "as of 25.11.2026, 15:04 UTC; quote 2026-0001",
	} {
		if got := s.Prose(text); got != want {
			t.Errorf("%q is written %q, want %q", text, got, want)
		}
		if got := (Style{}).Prose(text); got != text {
			t.Errorf("with a point %q becomes %q", text, got)
		}
	}
	if got := s.Figures("at least 101.36…"); got != "at least 101,36…" {
		t.Error(got)
	}
}
