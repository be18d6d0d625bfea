package api

import (
	"crypto/sha256"
	"encoding/hex"

	"kerfbook/api/answer"
	"kerfbook/api/edge"
)

// cacheKey names an answer: it holds the version of the book and everything of
// the request that the answer depends on.
type cacheKey [32]byte

// cached is an answer that is kept.
type cached struct {
	tag  string
	body []byte
}

// room is what an answer takes of the cache: its body, and what an entry costs beside it.
func (c cached) room() int { return len(c.body) + 256 }

// newCache keeps the answers to repeated requests, as many as fit. It never holds
// anything that changes: a new version of the book makes new keys.
func newCache(limit int) *answer.Cache[cacheKey, cached] {
	return answer.NewCache[cacheKey](limit, cached.room)
}

// keep keeps an answer and gives it back with its entity tag. One that would take
// more than a quarter of the room is not kept.
func (a *API) keep(key cacheKey, body []byte) cached {
	sum := sha256.Sum256(body)
	made := cached{edge.ETag(hex.EncodeToString(sum[:16])), body}
	if made.room() <= a.edge.Config.CacheBytes/4 {
		a.cache.Put(key, made)
	}
	return made
}

// keyOf hashes the parts of a key, each with its length, so that no two lists of
// parts look the same.
func keyOf(parts ...string) cacheKey {
	h := sha256.New()
	for _, p := range parts {
		n := len(p)
		h.Write([]byte{byte(n >> 24), byte(n >> 16), byte(n >> 8), byte(n)})
		h.Write([]byte(p))
	}
	return cacheKey(h.Sum(nil))
}
