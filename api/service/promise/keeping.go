package promise

import (
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"kerfbook/costing/text"
)

const prefix = "quotes/"

// IsEntry reports whether an entry of the change log is about a quote.
func IsEntry(object string) bool { return strings.HasPrefix(object, prefix) }

// Object names a revision of a quote in the change log.
func (q StoredQuote) Object() string { return fmt.Sprintf("%s%s@%d", prefix, q.Number, q.Revision) }

// StateObject names its state there.
func (q StoredQuote) StateObject() string { return prefix + q.Number }

// StateHash covers its state.
func (q StoredQuote) StateHash() string { return hashOf([]byte(q.State)) }

// ContentHash covers the document and everything that stands beside it.
func (q StoredQuote) ContentHash() string {
	return hashOf(fmt.Appendf(nil, `{"currency":%s,"customer":%s,"destination":%s,"document":"%s","net":"%s","tax":"%s","total":"%s","valid_until":%s}`,
		text.Canonical(q.Currency), text.Canonical(q.Customer), text.Canonical(q.Destination), hashOf(q.Document),
		q.Net, q.Tax, q.Total, text.Canonical(string(q.ValidUntil))))
}

func hashOf(written []byte) string { return fmt.Sprintf("%x", sha256.Sum256(written)) }

// Altered says what of a revision is not as the change log has it: the hash of its
// content, when it was made and who made it; empty if all is.
func (q StoredQuote) Altered(hash string, at time.Time, by string) string {
	switch {
	case q.ContentHash() != hash || fmt.Sprintf("%x", q.Hash) != hashOf(q.Document):
		return "it was changed after it was written"
	case !q.CreatedAt.Equal(at) || q.CreatedBy != by:
		return "who wrote it and when was changed"
	}
	return ""
}

// Miscounted holds the counter of every series of quotes against the numbers issued,
// which are those of the objects of the change log.
func Miscounted(counted map[string]int64, objects []string, fault func(object, format string, args ...any)) {
	issued := map[string]int64{}
	for _, object := range objects {
		number, _, revision := strings.Cut(strings.TrimPrefix(object, prefix), "@")
		at := strings.LastIndexByte(number, '-')
		if n, err := strconv.ParseInt(number[at+1:], 10, 64); IsEntry(object) && revision && err == nil && at > 0 {
			issued[number[:at]] = max(issued[number[:at]], n)
		}
	}
	for _, series := range slices.Sorted(maps.Keys(counted)) {
		if n := counted[series]; n != issued[series] {
			fault("quote numbers of "+series, "the counter stands at %d, and the last number issued is %d", n, issued[series])
		}
		delete(issued, series)
	}
	for _, series := range slices.Sorted(maps.Keys(issued)) {
		fault("quote numbers of "+series, "the counter is missing")
	}
}
