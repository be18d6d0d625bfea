package frame

import "kerfbook/api/answer"

// FindingLine is a remark about a figure.
type FindingLine struct {
	Severity, Word, Message, Href string
}

var severityWords = map[string]string{"note": "Note:", "warning": "Check:", "blocker": "Not to be quoted as it is:", "error": "Not known:"}

// FindingLines writes findings, those that stop a quote first.
func FindingLines(found []answer.Finding, sheet *answer.Sheet, link Linker) []FindingLine {
	address := func(key string) string {
		if sheet.Figure(key).Key == "" {
			return ""
		}
		return link.Href(key)
	}
	var out []FindingLine
	for _, severity := range []string{"error", "blocker", "warning", "note"} {
		for _, f := range found {
			if f.Severity == severity {
				out = append(out, FindingLine{f.Severity, severityWords[f.Severity], f.Message, address(f.Key)})
			}
		}
	}
	return out
}

// Distinct leaves out what was said before: batches of different trims rest on
// the same rows.
func Distinct(lines []FindingLine) []FindingLine {
	seen := map[string]bool{}
	var out []FindingLine
	for _, l := range lines {
		if !seen[l.Message] {
			seen[l.Message] = true
			out = append(out, l)
		}
	}
	return out
}
