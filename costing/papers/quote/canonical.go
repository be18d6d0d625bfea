package quote

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"kerfbook/costing/graph"
	"kerfbook/costing/graph/codec"
)

// FormError is bytes that are no stored quote.
type FormError struct{ Detail string }

func (e *FormError) Error() string { return "stored quote: " + e.Detail }

// envelope says by which version of the form a document is written.
type envelope struct {
	Version  int       `json:"kerfbook_quote"`
	Document *Document `json:"document"`
}

// Version is the version of the form that is written; Open reads it alone.
const Version = 1

// Encode writes a document in canonical form: the same document always gives the
// same bytes.
func (d *Document) Encode() ([]byte, error) {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	err := enc.Encode(envelope{Version, d})
	return out.Bytes(), err
}

// Hash is the content hash of a document: SHA-256 of its canonical form, in hex.
func (d *Document) Hash() (string, error) {
	data, err := d.Encode()
	return hashOf(data), err
}

func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

func read(data []byte) (*Document, error) {
	var e envelope
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&e); err != nil {
		return nil, &FormError{err.Error()}
	}
	if e.Version != Version || e.Document == nil {
		return nil, &FormError{fmt.Sprintf("version %d is not known; this program reads version %d", e.Version, Version)}
	}
	return e.Document, nil
}

// Computed gives the graph of the document with its figures, as stored.
func (d *Document) Computed() (*graph.Graph, *codec.Values, error) {
	return codec.Decode(append(bytes.Clone(d.Graph), '\n'))
}

// Pack compresses the canonical form for keeping.
func Pack(canonical []byte) ([]byte, error) {
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	if _, err := z.Write(canonical); err != nil {
		return nil, err
	}
	err := z.Close()
	return out.Bytes(), err
}

// maxUnpacked bounds what a packed quote may grow to.
const maxUnpacked = 128 << 20

// Open reads a packed document and gives its content hash. It trusts the form of what
// was packed, which the hash covers. The error is a *FormError, or that of patterns.
func Open(packed []byte, patterns Patterns) (d *Document, hash string, err error) {
	data, err := unpack(packed, patterns)
	if err != nil {
		return nil, "", err
	}
	d, err = read(data)
	return d, hashOf(data), err
}

// whole gives the canonical form of a document that is kept whole.
func whole(packed []byte) ([]byte, error) {
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, &FormError{err.Error()}
	}
	return limited(z)
}
