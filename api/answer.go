package api

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"

	"kerfbook/api/edge"
	"kerfbook/api/service"
)

// encode writes a value as JSON the way the command line does, without spaces.
func encode(v any) ([]byte, error) {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// ok answers with JSON.
func (c *call) ok(status int, v any) (*answer, error) {
	data, err := encode(v)
	if err != nil {
		return nil, err
	}
	c.w.Header().Set("Content-Type", "application/json")
	return &answer{status, data}, nil
}

// tagged answers with the entity tag of a version, or with 304 if a reading
// client holds it.
func (c *call) tagged(tag, mediaType string, data []byte) *answer {
	h := c.w.Header()
	h.Set("ETag", tag)
	h.Set("Cache-Control", "private, no-cache")
	if (c.r.Method == http.MethodGet || c.r.Method == http.MethodHead) && edge.Unchanged(c.r.Header, tag) {
		return &answer{Status: http.StatusNotModified}
	}
	h.Set("Content-Type", mediaType)
	return &answer{http.StatusOK, data}
}

// hashed answers with JSON whose entity tag is the hash of what is said.
func (c *call) hashed(v any) (*answer, error) {
	data, err := encode(v)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(data)
	return c.tagged(edge.ETag(hex.EncodeToString(sum[:16])), jsonType, data), nil
}

// nothing answers without content.
func nothing() (*answer, error) { return &answer{Status: http.StatusNoContent}, nil }

// version reads which version a change is made to.
func (c *call) version() (service.Version, error) {
	v, err := edge.IfMatch(c.r.Header)
	return service.Version(v), err
}
