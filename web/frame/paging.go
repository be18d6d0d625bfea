package frame

import "strconv"

// Paging says which rows of a long list a page shows, and where the others are.
type Paging struct {
	First, Last, All int
	Before, Next     string
}

// Paged cuts a list to the page of that many rows which the address asks for.
func Paged[T any](c *Call, rows []T, most int) ([]T, Paging) {
	at, err := strconv.Atoi(c.R.URL.Query().Get("row"))
	if err != nil || at < 0 || at >= len(rows) {
		at = 0
	}
	p := Paging{First: at + 1, Last: min(at+most, len(rows)), All: len(rows)}
	to := func(row int) string {
		q := c.R.URL.Query()
		q.Set("row", strconv.Itoa(row))
		return c.R.URL.Path + "?" + q.Encode()
	}
	if at > 0 {
		p.Before = to(max(0, at-most))
	}
	if p.Last < len(rows) {
		p.Next = to(p.Last)
	}
	return rows[at:p.Last], p
}
