package frame

import (
	"kerfbook/api/answer"
	"kerfbook/costing/book"
	"kerfbook/costing/book/field"
	"kerfbook/costing/book/record"
)

// FindingLine is a remark about a figure.
type FindingLine struct {
	Severity, Word, Message string
	Href, Label             string
}

var severityWords = map[string]string{"note": "Note:", "warning": "Check:", "blocker": "Not to be quoted as it is:", "error": "Not known:", "gap": "To enter:"}

// FindingLines writes findings, those that stop a quote first.
func FindingLines(b *book.Book, found []answer.Finding, sheet *answer.Sheet, link Linker) []FindingLine {
	address := func(key string) string {
		if sheet.Figure(key).Key == "" {
			return ""
		}
		return link.Href(key)
	}
	var out []FindingLine
	for _, severity := range []string{"error", "gap", "blocker", "warning", "note"} {
		for _, f := range found {
			if f.Severity != severity {
				continue
			}
			line := FindingLine{f.Severity, severityWords[f.Severity], field.Spoken(f.Message), address(f.Key), "Look at it"}
			if entry := EntryHref(b, f.Path); f.Severity == "gap" && entry != "" {
				line.Href, line.Label = entry, "Enter it"
			}
			out = append(out, line)
		}
	}
	return out
}

// EntryHref is where what is at a place of the book is entered; empty where no record
// has the place.
func EntryHref(b *book.Book, path string) string {
	r, ok := record.At(b, path)
	if !ok {
		return ""
	}
	return RecordHref(r.Kind.Name, r.ID) + "/edit"
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
