package frame

import (
	"strconv"
	"time"
)

// Digits writes the number of a revision, which is a name and no figure.
func Digits(n int) string { return strconv.Itoa(n) }

// Moment writes a time so that it cannot be misread.
func Moment(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format("2006-01-02 15:04") + " UTC"
}
