package api

import (
	"container/list"
	"crypto/sha256"
	"encoding/hex"
	"sync"

	"kerfbook/api/edge"
)

// cacheKey names an answer: it holds the version of the book and everything of
// the request that the answer depends on.
type cacheKey [32]byte

// cacheEntry is an answer that is kept.
type cacheEntry struct {
	key  cacheKey
	tag  string
	body []byte
}

// cache keeps the answers to repeated requests, as many as fit. It never holds
// anything that changes: a new version of the book makes new keys.
type cache struct {
	limit int

	mu      sync.Mutex
	bytes   int
	order   *list.List // of cached, the last used first
	entries map[cacheKey]*list.Element
}

// overhead is what an entry costs beside its body.
const overhead = 256

func newCache(limit int) *cache {
	return &cache{limit: limit, order: list.New(), entries: map[cacheKey]*list.Element{}}
}

func (c *cache) get(key cacheKey) (*cacheEntry, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	e, ok := c.entries[key]
	if !ok {
		return nil, false
	}
	c.order.MoveToFront(e)
	return e.Value.(*cacheEntry), true
}

// put keeps an answer and gives it back with its entity tag. One that would take
// more than a quarter of the room is not kept.
func (c *cache) put(key cacheKey, body []byte) *cacheEntry {
	sum := sha256.Sum256(body)
	entry := &cacheEntry{key, edge.ETag(hex.EncodeToString(sum[:16])), body}
	size := len(body) + overhead
	if size > c.limit/4 {
		return entry
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if _, ok := c.entries[key]; ok {
		return entry
	}
	c.entries[key] = c.order.PushFront(entry)
	for c.bytes += size; c.bytes > c.limit; {
		last := c.order.Back()
		old := c.order.Remove(last).(*cacheEntry)
		delete(c.entries, old.key)
		c.bytes -= len(old.body) + overhead
	}
	return entry
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
