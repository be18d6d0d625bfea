package web

import "kerfbook/api/answer"

// findingLine is a remark about a figure.
type findingLine struct {
	Severity, Word, Message, Href string
}

var severityWords = map[string]string{"note": "Note:", "warning": "Check:", "blocker": "Not to be quoted as it is:", "error": "Not known:"}

// findingLines writes findings, those that stop a quote first.
func findingLines(found []answer.Finding, sheet *answer.Sheet, link linker) []findingLine {
	address := func(key string) string {
		if sheet.Figure(key).Key == "" {
			return ""
		}
		return link.href(key)
	}
	var out []findingLine
	for _, severity := range []string{"error", "blocker", "warning", "note"} {
		for _, f := range found {
			if f.Severity == severity {
				out = append(out, findingLine{f.Severity, severityWords[f.Severity], f.Message, address(f.Key)})
			}
		}
	}
	return out
}

// distinct leaves out what was said before: batches of different trims rest on
// the same rows.
func distinct(lines []findingLine) []findingLine {
	seen := map[string]bool{}
	var out []findingLine
	for _, l := range lines {
		if !seen[l.Message] {
			seen[l.Message] = true
			out = append(out, l)
		}
	}
	return out
}
