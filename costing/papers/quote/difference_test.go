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

// bases are packed documents by their hashes.
type bases map[[sha256.Size]byte][]byte

func (s bases) find(hash [sha256.Size]byte) ([]byte, error) {
	if packed, ok := s[hash]; ok {
		return packed, nil
	}
	return nil, errNoBase
}

func (s bases) add(t testing.TB, packed []byte, err error) []byte {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	s[sha256.Sum256(packed)] = packed
	return packed
}

var errNoBase = errors.New("no such base")

// TestDocumentFromABase keeps documents as what differs from one for other goods and
// another place, over none, one and two steps.
func TestDocumentFromABase(t *testing.T) {
	t.Parallel()
	kept := bases{}
	other := build(t, request("PT"))
	common, err := other.Base()
	if err != nil || bytes.Contains(common, []byte(other.Customer.Name)) {
		t.Fatalf("the base names the customer, %v", err)
	}
	packed, err := quote.Pack(common)
	whole := kept.add(t, packed, err)
	d := build(t, request("US"))
	canonical, _ := d.Encode()
	common, _ = d.Base()
	packed, err = quote.PackFrom(common, whole, kept.find)
	near := kept.add(t, packed, err)
	for name, base := range map[string][]byte{"of other goods": whole, "alike": near} {
		packed, err := quote.PackFrom(canonical, base, kept.find)
		if err != nil {
			t.Fatal(err)
		}
		if hash, ok := quote.BaseOf(packed); !ok || hash != sha256.Sum256(base) {
			t.Errorf("%s: the base is not named", name)
		}
		opened, hash, err := quote.Open(packed, kept.find)
		if want, _ := d.Hash(); err != nil || hash != want || !reflect.DeepEqual(opened, d) {
			t.Errorf("%s: it comes out otherwise, %v", name, err)
		}
		t.Logf("%s: %d bytes of %d", name, len(packed), len(canonical))
		if _, _, err := quote.Open(packed, bases{}.find); !errors.Is(err, errNoBase) {
			t.Errorf("%s: without its base: %v", name, err)
		}
		var form *quote.FormError
		other := func([sha256.Size]byte) ([]byte, error) { return append(bytes.Clone(base), 0), nil }
		if _, _, err := quote.Open(packed, other); !errors.As(err, &form) {
			t.Errorf("%s: from another base: %v", name, err)
		}
	}
	if _, ok := quote.BaseOf(whole); ok {
		t.Error("a whole document has a base")
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
		kept, from := bases{}, text()
		packed, err := quote.Pack(from)
		base := kept.add(t, packed, err)
		for _, to := range [][]byte{from, text(), slices.Concat(text(), from, text()), from[len(from)/3:], {}} {
			packed, err := quote.PackFrom(to, base, kept.find)
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
