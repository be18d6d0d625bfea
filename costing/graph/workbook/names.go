package workbook

import (
	"strconv"
	"strings"
)

// nameSet hands out names and remembers them, whatever their case: to a
// spreadsheet _rate and _Rate are one name.
type nameSet struct {
	taken map[string]bool
	limit int    // longest name
	gap   string // between a name and the number that tells it from another
}

func newNameSet(limit int, gap string) *nameSet {
	return &nameSet{taken: map[string]bool{}, limit: limit, gap: gap}
}

// claim gives want, or want with the smallest number from 2 that makes it
// unique. Names are claimed in graph order, so the same graph gets the same
// names.
func (s *nameSet) claim(want string) string {
	want = truncate(want, s.limit)
	name := want
	for i := 2; s.taken[strings.ToLower(name)]; i++ {
		suffix := s.gap + strconv.Itoa(i)
		name = truncate(want, s.limit-len(suffix)) + suffix
	}
	s.taken[strings.ToLower(name)] = true
	return name
}

// truncate cuts ASCII text.
func truncate(s string, limit int) string {
	if len(s) > limit {
		return s[:limit]
	}
	return s
}

// cellName writes a key as a name: part/EMB-010/op/30/run-time becomes
// _part_EMB_010_op_30_run_time. The first underscore keeps a name from looking
// like a cell (AB12) or a function; a second one keeps it clear of the names
// beginning _xl that spreadsheets reserve.
func cellName(key string) string {
	var b strings.Builder
	b.WriteByte('_')
	if strings.HasPrefix(strings.ToLower(key), "xl") {
		b.WriteByte('_')
	}
	for _, r := range key {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			b.WriteRune(r)
		} else {
			b.WriteByte('_')
		}
	}
	return b.String()
}
