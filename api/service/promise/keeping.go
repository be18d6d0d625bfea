package promise

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"kerfbook/costing/papers/quote"
	"kerfbook/costing/text"
)

// small is how many times smaller than a document what is kept of it should be. One
// that differs more from the pattern there is gets a pattern of its own.
const small = 32

// packed gives the form a document is kept in: what differs from the newest pattern for
// such goods and such a destination.
func packed(ctx context.Context, quotes QuoteStore, d *quote.Document) ([]byte, error) {
	canonical, err := d.Encode()
	if err != nil {
		return nil, err
	}
	likeness := d.Destination
	for _, l := range d.Inputs.Mix {
		likeness += " " + cmp.Or(l.Product, l.Part) + "/" + l.Trim
	}
	out, err := packedFrom(ctx, quotes, canonical, likeness)
	if err != nil || out != nil && len(out) <= len(canonical)/small {
		return out, err
	}
	if err := addPattern(ctx, quotes, d, likeness); err != nil {
		return nil, err
	}
	return packedFrom(ctx, quotes, canonical, likeness)
}

// packedFrom gives what differs from the newest pattern of a likeness; nil where there
// is none.
func packedFrom(ctx context.Context, quotes QuoteStore, canonical []byte, likeness string) ([]byte, error) {
	pattern, err := quotes.NewestPattern(ctx, likeness)
	if err != nil || pattern == nil {
		return nil, err
	}
	return quote.PackFrom(canonical, pattern, patternsOf(ctx, quotes))
}

// addPattern adds a pattern for quotes like a document. It is kept as what differs from
// the newest whole one, or whole where this would not halve it.
func addPattern(ctx context.Context, quotes QuoteStore, d *quote.Document, likeness string) error {
	canonical, err := d.Pattern()
	if err != nil {
		return err
	}
	from, err := packedFrom(ctx, quotes, canonical, "")
	if err != nil {
		return err
	}
	out := StoredPattern{Likeness: likeness}
	if out.Document, err = quote.Pack(canonical); err != nil {
		return err
	}
	if out.Whole = from == nil || 2*len(from) >= len(out.Document); !out.Whole {
		out.Document = from
	}
	sum := sha256.Sum256(out.Document)
	out.Hash = sum[:]
	return quotes.InsertPattern(ctx, out)
}

func patternsOf(ctx context.Context, quotes QuoteStore) quote.Patterns {
	return func(hash [sha256.Size]byte) ([]byte, error) { return quotes.Pattern(ctx, hash[:]) }
}

// Patterns are those that a check of the store found as they were written.
type Patterns map[[sha256.Size]byte]bool

// Add takes note of a pattern that is what its hash says, with what it differs from.
func (s Patterns) Add(b StoredPattern) error {
	from, differs := quote.PatternOf(b.Document)
	hash := sha256.Sum256(b.Document)
	if bytes.Equal(hash[:], b.Hash) && (!differs || s[from]) {
		s[hash] = true
	}
	return nil
}

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
func (q StoredQuote) Altered(hash string, at time.Time, by string, patterns Patterns) string {
	pattern, differs := quote.PatternOf(q.Document)
	switch {
	case q.ContentHash() != hash || fmt.Sprintf("%x", q.Hash) != hashOf(q.Document):
		return "it was changed after it was written"
	case !q.CreatedAt.Equal(at) || q.CreatedBy != by:
		return "who wrote it and when was changed"
	case differs && !patterns[pattern]:
		return "what it differs from is missing or was changed after it was written"
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
