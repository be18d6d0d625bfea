package frame

import (
	"strconv"
	"time"

	"kerfbook/bom"
	"kerfbook/costing/papers/show"
)

// Digits writes the number of a revision, which is a name and no figure.
func Digits(n int) string { return strconv.Itoa(n) }

// ShapeWords says how the values of a range are spread, in one or two words.
func ShapeWords(shape string) string {
	words := map[string]string{"": "peaked", "triangular": "peaked", "pert": "rounded", "uniform": "all alike", "normal": "bell"}
	return words[shape]
}

// Moment writes a time so that it cannot be misread.
func Moment(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format("2006-01-02 15:04") + " UTC"
}

// Age tells when a row was last looked at: "2026-11-28, 3 days ago".
func Age(today, checked bom.Date) string {
	if checked == "" || today <= checked {
		return string(checked)
	}
	return string(checked) + ", " + show.Days(checked.DaysUntil(today)) + " ago"
}
