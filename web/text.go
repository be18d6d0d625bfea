package web

import (
	"net/url"
	"slices"
	"strconv"
	"time"
)

// sorted gives words in order.
func sorted(words []string) []string {
	slices.Sort(words)
	return words
}

// digitsOf writes the number of a revision, which is a name and no figure.
func digitsOf(n int) string { return strconv.Itoa(n) }

// moment writes a time so that it cannot be misread.
func moment(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format("2006-01-02 15:04") + " UTC"
}

func escape(text string) string { return url.QueryEscape(text) }
