package edge

import (
	"container/list"
	"net/netip"
	"sync"
	"time"
)

// maxWatched is how many addresses are watched at once; beyond it the ones that
// failed longest ago are forgotten.
const maxWatched = 10_000

// Attempts slows down guessing: an address that sent too many wrong secrets has
// to wait, twice as long after each further one. Nobody is shut out for good.
type Attempts struct {
	free  int
	pause time.Duration
	now   func() time.Time

	mu    sync.Mutex
	tries map[netip.Prefix]*list.Element
	order *list.List // of *tries, the one that failed last first
}

// tries are the wrong attempts of one address.
type tries struct {
	from   netip.Prefix
	failed int
	last   time.Time
	until  time.Time
}

func newAttempts(c Config) *Attempts {
	return &Attempts{free: c.Attempts, pause: c.AttemptsPause, now: c.Now,
		tries: map[netip.Prefix]*list.Element{}, order: list.New()}
}

// Wait tells how long an address still has to wait; zero if it may try.
func (a *Attempts) Wait(client netip.Addr) time.Duration {
	a.mu.Lock()
	defer a.mu.Unlock()
	e, ok := a.tries[network(client)]
	if !ok {
		return 0
	}
	return max(0, e.Value.(*tries).until.Sub(a.now()))
}

// Failed notes a wrong attempt.
func (a *Attempts) Failed(client netip.Addr) {
	a.mu.Lock()
	defer a.mu.Unlock()
	now := a.now()
	t := a.of(network(client))
	if now.Sub(t.last) > a.pause {
		t.failed = 0
	}
	t.failed++
	t.last = now
	if over := t.failed - a.free; over >= 0 {
		t.until = now.Add(min(a.pause, time.Second<<min(over, 20)))
	}
}

// of gives what is known of an address, and makes room for a new one.
func (a *Attempts) of(from netip.Prefix) *tries {
	if e, ok := a.tries[from]; ok {
		a.order.MoveToFront(e)
		return e.Value.(*tries)
	}
	if len(a.tries) >= maxWatched {
		a.drop(a.order.Back())
	}
	t := &tries{from: from}
	a.tries[from] = a.order.PushFront(t)
	return t
}

func (a *Attempts) drop(e *list.Element) {
	delete(a.tries, e.Value.(*tries).from)
	a.order.Remove(e)
}

// Succeeded forgets the wrong attempts of an address.
func (a *Attempts) Succeeded(client netip.Addr) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if e, ok := a.tries[network(client)]; ok {
		a.drop(e)
	}
}

// network is what one party can choose addresses from at will: a single IPv4
// address, a /64 of IPv6.
func network(a netip.Addr) netip.Prefix {
	bits := 32
	if a.Is6() {
		bits = 64
	}
	p, err := a.Prefix(bits)
	if err != nil {
		return netip.Prefix{} // of an unknown address; all of these share one
	}
	return p
}
