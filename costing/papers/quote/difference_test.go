package quote_test

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"kerfbook/costing/papers/quote"
	"kerfbook/testdata/depth"
)

// patterns are packed documents by their hashes.
type patterns map[[sha256.Size]byte][]byte

func (s patterns) find(hash [sha256.Size]byte) ([]byte, error) {
	if packed, ok := s[hash]; ok {
		return packed, nil
	}
	return nil, errNoPattern
}

func (s patterns) add(t testing.TB, packed []byte, err error) []byte {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	s[sha256.Sum256(packed)] = packed
	return packed
}

var errNoPattern = errors.New("no such pattern")

// TestDocumentFromAPattern keeps documents as what differs from one for other goods and
// another place, over none, one and two steps.
func TestDocumentFromAPattern(t *testing.T) {
	t.Parallel()
	kept := patterns{}
	other := build(t, request("PT"))
	common, err := other.Pattern()
	if err != nil || bytes.Contains(common, []byte(other.Customer.Name)) {
		t.Fatalf("the pattern names the customer, %v", err)
	}
	packed, err := quote.Pack(common)
	whole := kept.add(t, packed, err)
	d := build(t, request("US"))
	canonical, _ := d.Encode()
	common, _ = d.Pattern()
	packed, err = quote.PackFrom(common, whole, kept.find)
	near := kept.add(t, packed, err)
	for name, pattern := range map[string][]byte{"of other goods": whole, "alike": near} {
		packed, err := quote.PackFrom(canonical, pattern, kept.find)
		if err != nil {
			t.Fatal(err)
		}
		if hash, ok := quote.PatternOf(packed); !ok || hash != sha256.Sum256(pattern) {
			t.Errorf("%s: the pattern is not named", name)
		}
		opened, hash, err := quote.Open(packed, kept.find)
		if want, _ := d.Hash(); err != nil || hash != want || !reflect.DeepEqual(opened, d) {
			t.Errorf("%s: it comes out otherwise, %v", name, err)
		}
		t.Logf("%s: %d bytes of %d", name, len(packed), len(canonical))
		if _, _, err := quote.Open(packed, patterns{}.find); !errors.Is(err, errNoPattern) {
			t.Errorf("%s: without its pattern: %v", name, err)
		}
		var form *quote.FormError
		other := func([sha256.Size]byte) ([]byte, error) { return append(bytes.Clone(pattern), 0), nil }
		if _, _, err := quote.Open(packed, other); !errors.As(err, &form) {
			t.Errorf("%s: from another pattern: %v", name, err)
		}
	}
	if _, ok := quote.PatternOf(whole); ok {
		t.Error("a whole document has a pattern")
	}
}

// TestDifferencesOfAnyTexts packs texts of few words from one another; what is cut
// short or damaged is refused or gives another text.
func TestDifferencesOfAnyTexts(t *testing.T) {
	t.Parallel()
	for seed := range depth.Seeds(400) {
		draw := rand.New(rand.NewPCG(seed, 7))
		text := func() []byte {
			words := make([]string, draw.IntN(200))
			for i := range words {
				words[i] = fmt.Sprintf("a rather long word %d", draw.IntN(1+draw.IntN(60)))[draw.IntN(18):]
			}
			return []byte(strings.Join(words, ","))
		}
		kept, from := patterns{}, text()
		packed, err := quote.Pack(from)
		pattern := kept.add(t, packed, err)
		for _, to := range [][]byte{from, text(), slices.Concat(text(), from, text()), from[len(from)/3:], {}} {
			packed, err := quote.PackFrom(to, pattern, kept.find)
			again, uerr := quote.Unpack(packed, kept.find)
			if err != nil || uerr != nil || !bytes.Equal(again, to) {
				t.Fatalf("seed %d: %v, %v\n%s\nfrom\n%s\ncomes out as\n%s", seed, err, uerr, to, from, again)
			}
			for range 20 {
				bad := bytes.Clone(packed)[:len(packed)-draw.IntN(3)]
				bad[draw.IntN(len(bad))] ^= byte(1 << draw.IntN(8))
				_, _ = quote.Unpack(bad, kept.find)
			}
		}
	}
}
