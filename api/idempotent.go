package api

import (
	"context"
	"crypto/sha256"
	"net/http"
	"strings"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/service"
)

// maxKey is the longest Idempotency-Key.
const maxKey = 128

// once does what must not happen twice. The same key with the same request gives
// the kept answer, byte for byte.
func (a *API) once(ctx context.Context, c *call, do func(service.Tx) (status int, v any, err error)) (*reply, error) {
	key, err := idempotencyKey(c.r.Header)
	if err != nil {
		return nil, err
	}
	begun := false
	status, data, replayed, err := a.service.Idempotent(ctx, c.actor, key, fingerprint(c), func(tx service.Tx) (int, []byte, error) {
		begun = true
		status, v, err := do(tx)
		if err != nil {
			return 0, nil, err
		}
		data, err := encode(v)
		return status, data, err
	})
	if !begun && err != nil && answer.CodeOf(err) == answer.Invalid {
		return nil, &edge.Refusal{Kind: edge.KeyReused, Detail: err.Error()}
	}
	if err != nil {
		return nil, err
	}
	if replayed {
		c.w.Header().Set("Idempotency-Replayed", "true")
	}
	c.w.Header().Set("Content-Type", jsonType)
	return &reply{status, data}, nil
}

// idempotencyKey reads the key, as a quoted text or without the quotes.
func idempotencyKey(h http.Header) (string, error) {
	key := strings.TrimSpace(h.Get("Idempotency-Key"))
	if len(key) >= 2 && key[0] == '"' && key[len(key)-1] == '"' {
		key = key[1 : len(key)-1]
	}
	if key == "" {
		return "", &edge.Refusal{Kind: edge.KeyMissing, Detail: "send the header Idempotency-Key with a text of your own for this act"}
	}
	for _, b := range []byte(key) {
		if len(key) > maxKey || b < '!' || b > '~' || b == '"' || b == '\\' {
			return "", &edge.Refusal{Kind: edge.BadRequest,
				Detail: "the Idempotency-Key has at most 128 characters, visible ASCII without quotes and backslashes"}
		}
	}
	return key, nil
}

// fingerprint tells requests apart that use the same key. The actor is told
// apart by the keeper of the keys.
func fingerprint(c *call) [32]byte {
	h := sha256.New()
	for _, part := range []string{c.r.Method, c.r.URL.Path, c.r.URL.RawQuery, c.r.Header.Get("If-Match"), c.r.Header.Get("If-None-Match"), c.mediaType} {
		h.Write([]byte(part))
		h.Write([]byte{0})
	}
	h.Write(c.body)
	return [32]byte(h.Sum(nil))
}
