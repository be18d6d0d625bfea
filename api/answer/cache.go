package answer

import (
	"container/list"
	"context"
	"sync"
)

// Cache keeps values up to a total weight, the newest always, and makes a value
// that several ask for at once only once.
type Cache[K comparable, V any] struct {
	room   int
	weight func(V) int

	mu      sync.Mutex
	used    int
	order   *list.List // of *kept, the last used first
	entries map[K]*list.Element
	making  map[K]chan struct{}
}

type entry[K comparable, V any] struct {
	key   K
	value V
}

func NewCache[K comparable, V any](room int, weight func(V) int) *Cache[K, V] {
	return &Cache[K, V]{room: room, weight: weight, order: list.New(), entries: map[K]*list.Element{}, making: map[K]chan struct{}{}}
}

func (c *Cache[K, V]) Peek(key K) (value V, ok bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.look(key)
}

func (c *Cache[K, V]) look(key K) (value V, ok bool) {
	e, ok := c.entries[key]
	if !ok {
		return value, false
	}
	c.order.MoveToFront(e)
	return e.Value.(*entry[K, V]).value, true
}

// Newest gives the value used last, or the zero value.
func (c *Cache[K, V]) Newest() (value V) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e := c.order.Front(); e != nil {
		return e.Value.(*entry[K, V]).value
	}
	return value
}

func (c *Cache[K, V]) Put(key K, value V) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if _, ok := c.look(key); ok {
		return
	}
	c.entries[key] = c.order.PushFront(&entry[K, V]{key, value})
	c.used += c.weight(value)
	for c.used > c.room && c.order.Len() > 1 {
		last := c.order.Remove(c.order.Back()).(*entry[K, V])
		delete(c.entries, last.key)
		c.used -= c.weight(last.value)
	}
}

// Get gives the value of a key, made now if it is not there. Of those who ask at
// once one makes it; should that fail, the next tries. Errors are not kept.
func (c *Cache[K, V]) Get(ctx context.Context, key K, create func() (V, error)) (V, error) {
	for {
		c.mu.Lock()
		value, ok := c.look(key)
		waiting := c.making[key]
		if !ok && waiting == nil {
			c.making[key] = make(chan struct{})
		}
		c.mu.Unlock()
		switch {
		case ok:
			return value, nil
		case waiting == nil:
			return c.create(key, create)
		}
		select {
		case <-waiting:
		case <-ctx.Done():
			return value, Errorf(Busy, "it took too long")
		}
	}
}

func (c *Cache[K, V]) create(key K, create func() (V, error)) (V, error) {
	defer func() {
		c.mu.Lock()
		defer c.mu.Unlock()
		close(c.making[key])
		delete(c.making, key)
	}()
	value, err := create()
	if err == nil {
		c.Put(key, value)
	}
	return value, err
}
