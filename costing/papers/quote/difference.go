package quote

import (
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"encoding/binary"
	"io"
	"slices"
	"strings"
)

// A document is also kept as what differs from a pattern: the mark, SHA-256 of the pattern
// as it is kept, and compressed: how long the counts are, the counts, the pieces of
// its own. A piece ends with a comma. The counts are triples: pieces taken from the
// pattern, pieces of its own, pieces of the pattern that are skipped beyond as many.
const mark = "kerfbook quote difference 1\n"

// PatternOf gives the hash of the pattern that a packed document differs from; ok is false
// for one that is kept whole.
func PatternOf(packed []byte) (hash [sha256.Size]byte, ok bool) {
	rest, ok := bytes.CutPrefix(packed, []byte(mark))
	if ok = ok && len(rest) >= sha256.Size; ok {
		hash = [sha256.Size]byte(rest)
	}
	return hash, ok
}

func pieces(data []byte) []string { return strings.SplitAfter(string(data), ",") }

// Pattern is the document that others with such goods and such a destination differ
// little from, in canonical form. It names no customer.
func (d *Document) Pattern() ([]byte, error) {
	return (&Document{Inputs: Inputs{Book: d.Inputs.Book}, Graph: d.Graph}).Encode()
}

// Patterns finds a packed pattern by its hash.
type Patterns func(hash [sha256.Size]byte) ([]byte, error)

// PackFrom compresses a canonical form for keeping as what differs from a packed pattern.
func PackFrom(canonical, pattern []byte, patterns Patterns) ([]byte, error) {
	from, err := unpack(pattern, patterns)
	if err != nil {
		return nil, err
	}
	counts, own := difference(pieces(from), pieces(canonical))
	hash := sha256.Sum256(pattern)
	out := bytes.NewBuffer(append([]byte(mark), hash[:]...))
	z, err := flate.NewWriter(out, flate.BestCompression)
	if err == nil {
		_, err = z.Write(slices.Concat(binary.AppendUvarint(nil, uint64(len(counts))), counts, own))
	}
	if err == nil {
		err = z.Close()
	}
	return out.Bytes(), err
}

// difference finds the pieces of a text in another: runs that follow one another there,
// each begun where two pieces stand together, the nearest ahead or behind.
func difference(from, to []string) (counts, own []byte) {
	pair := func(of []string, k int) [2]string {
		if k+1 == len(of) {
			return [2]string{of[k]}
		}
		return [2]string(of[k : k+2])
	}
	pairs := make(map[[2]string][]int, len(from))
	for k := range from {
		pairs[pair(from, k)] = append(pairs[pair(from, k)], k)
	}
	i, j := 0, 0
	for i < len(to) {
		same, apart := 0, 0
		for i+same < len(to) && j+same < len(from) && to[i+same] == from[j+same] {
			same++
		}
		i, j = i+same, j+same
		met := j
		for ; i+apart < len(to); apart++ {
			if at := pairs[pair(to, i+apart)]; len(at) > 0 {
				met = nearest(at, j+apart)
				break
			}
		}
		for _, n := range []int{same, apart, met - j - apart} {
			counts = binary.AppendVarint(counts, int64(n))
		}
		own = append(own, strings.Join(to[i:i+apart], "")...)
		i, j = i+apart, met
	}
	return counts, own
}

// nearest gives that of some numbers in order which lies nearest to another.
func nearest(sorted []int, to int) int {
	k, _ := slices.BinarySearch(sorted, to)
	if k == len(sorted) || k > 0 && to-sorted[k-1] < sorted[k]-to {
		k--
	}
	return sorted[k]
}

// unpack gives the canonical form of a packed document.
func unpack(packed []byte, patterns Patterns) ([]byte, error) {
	hash, differs := PatternOf(packed)
	if !differs {
		return whole(packed)
	}
	pattern, err := patterns(hash)
	if err != nil {
		return nil, err
	}
	if sha256.Sum256(pattern) != hash {
		return nil, &FormError{"what it differs from was changed"}
	}
	from, err := unpack(pattern, patterns)
	if err != nil {
		return nil, err
	}
	data, err := limited(flate.NewReader(bytes.NewReader(packed[len(mark)+sha256.Size:])))
	if err != nil {
		return nil, err
	}
	n, size := binary.Uvarint(data)
	if size <= 0 || n > uint64(len(data)-size) {
		return nil, &FormError{"its counts are cut short"}
	}
	return patched(pieces(from), data[size:size+int(n)], pieces(data[size+int(n):]))
}

// patched puts a text together from the pieces of another and its own.
func patched(from []string, counts []byte, own []string) ([]byte, error) {
	var out bytes.Buffer
	for j := 0; len(counts) > 0; {
		var next [3]int
		for k := range next {
			n, size := binary.Varint(counts)
			if size <= 0 {
				return nil, &FormError{"its counts are cut short"}
			}
			next[k], counts = int(n), counts[size:]
		}
		same, apart, skipped := next[0], next[1], next[2]
		if j < 0 || same < 0 || same > len(from) || j > len(from)-same || apart < 0 || apart > len(own) {
			return nil, &FormError{"its counts lead beyond its pattern"}
		}
		for _, piece := range slices.Concat(from[j:j+same], own[:apart]) {
			out.WriteString(piece)
		}
		if out.Len() > maxUnpacked {
			return nil, &FormError{"larger than any quote"}
		}
		j, own = j+same+apart+skipped, own[apart:]
	}
	return out.Bytes(), nil
}

// limited reads what is compressed, up to the size that a quote may have.
func limited(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxUnpacked+1))
	switch {
	case err != nil:
		return nil, &FormError{err.Error()}
	case len(data) > maxUnpacked:
		return nil, &FormError{"larger than any quote"}
	}
	return data, nil
}
