package api

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
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
func (c *call) ok(status int, v any) (*reply, error) {
	data, err := encode(v)
	if err != nil {
		return nil, err
	}
	c.w.Header().Set("Content-Type", "application/json")
	return &reply{status, data}, nil
}

// answer answers with what was asked for, unless that failed.
func (c *call) answer(v any, err error) (*reply, error) {
	if err != nil {
		return nil, err
	}
	return c.ok(http.StatusOK, v)
}

// tagged answers with the entity tag of a version, or with 304 if a reading
// client holds it.
func (c *call) tagged(tag, mediaType string, data []byte) *reply {
	h := c.w.Header()
	h.Set("ETag", tag)
	h.Set("Cache-Control", "private, no-cache")
	if (c.r.Method == http.MethodGet || c.r.Method == http.MethodHead) && edge.Unchanged(c.r.Header, tag) {
		return &reply{Status: http.StatusNotModified}
	}
	h.Set("Content-Type", mediaType)
	return &reply{http.StatusOK, data}
}

// hashed answers with JSON whose entity tag is the hash of what is said.
func (c *call) hashed(v any) (*reply, error) {
	data, err := encode(v)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(data)
	return c.tagged(edge.ETag(hex.EncodeToString(sum[:16])), jsonType, data), nil
}

// placed computes once there is a place among those for costly work.
func placed[T any](ctx context.Context, a *API, compute func() (T, error)) (out T, err error) {
	release, err := a.edge.Place(ctx)
	if err != nil {
		return out, err
	}
	defer release()
	return compute()
}

// nothing answers without content.
func nothing() (*reply, error) { return &reply{Status: http.StatusNoContent}, nil }

// version reads which version a change is made to.
func (c *call) version() (answer.Version, error) {
	v, err := edge.IfMatch(c.r.Header)
	return answer.Version(v), err
}
