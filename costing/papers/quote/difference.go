package quote

import (
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"encoding/binary"
	"io"
	"slices"
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

func pieces(data []byte) [][]byte { return bytes.SplitAfter(data, []byte{','}) }

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

// near is how far apart two texts may be cut for the same pieces to be found in both.
const near = 24

// difference finds the pieces of a text in another, mostly in the same order.
func difference(from, to [][]byte) (counts, own []byte) {
	at := make(map[string]int, len(from)) // long pieces, such as keys, stand but once
	for i := len(from) - 1; i >= 0; i-- {
		at[string(from[i])] = i
	}
	i, j := 0, 0
	// meets reports whether the texts go on alike.
	meets := func(i, j int) bool {
		return j+1 < len(from) && i+1 < len(to) && bytes.Equal(to[i], from[j]) && bytes.Equal(to[i+1], from[j+1])
	}
	for i < len(to) {
		same, apart, met := 0, 0, 0
		for i+same < len(to) && j+same < len(from) && bytes.Equal(to[i+same], from[j+same]) {
			same++
		}
		i, j, met = i+same, j+same, j+same
	search:
		for ; i+apart < len(to); apart++ {
			for met = j + max(0, apart-near); met <= j+apart+near; met++ {
				if meets(i+apart, met) {
					break search
				}
			}
			const long = 12
			if k, ok := at[string(to[i+apart])]; ok && len(to[i+apart]) > long && meets(i+apart, k) {
				met = k
				break
			}
		}
		for _, n := range []int{same, apart, met - j - apart} {
			counts = binary.AppendVarint(counts, int64(n))
		}
		own = append(own, bytes.Join(to[i:i+apart], nil)...)
		i, j = i+apart, met
	}
	return counts, own
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
func patched(from [][]byte, counts []byte, own [][]byte) ([]byte, error) {
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
		for _, piece := range from[j : j+same] {
			out.Write(piece)
		}
		for _, piece := range own[:apart] {
			out.Write(piece)
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
