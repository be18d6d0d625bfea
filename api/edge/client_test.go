package edge

import (
	"net/http/httptest"
	"net/netip"
	"testing"
)

func TestClientBehindProxies(t *testing.T) {
	t.Parallel()
	proxies := []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8"), netip.MustParsePrefix("fd00::/8")}
	for _, c := range []struct {
		peer      string
		forwarded []string
		trusted   []netip.Prefix
		want      string
	}{
		{"192.0.2.1:9", nil, nil, "192.0.2.1"},
		{"192.0.2.1:9", []string{"8.8.8.8"}, nil, "192.0.2.1"},
		{"192.0.2.1:9", []string{"8.8.8.8"}, proxies, "192.0.2.1"},
		{"10.1.1.1:9", []string{"8.8.8.8"}, nil, "10.1.1.1"},
		{"10.1.1.1:9", []string{"8.8.8.8"}, proxies, "8.8.8.8"},
		{"[::ffff:10.1.1.1]:9", []string{"8.8.8.8"}, proxies, "8.8.8.8"},
		{"10.1.1.1:9", []string{"1.1.1.1, 8.8.8.8"}, proxies, "8.8.8.8"},
		{"10.1.1.1:9", []string{"1.1.1.1, 8.8.8.8, 10.2.2.2"}, proxies, "8.8.8.8"},
		{"10.1.1.1:9", []string{"1.1.1.1", "8.8.8.8"}, proxies, "8.8.8.8"},
		{"10.1.1.1:9", []string{"8.8.8.8, nonsense"}, proxies, "10.1.1.1"},
		{"10.1.1.1:9", []string{"8.8.8.8, nonsense, 10.2.2.2"}, proxies, "10.2.2.2"},
		{"10.1.1.1:9", nil, proxies, "10.1.1.1"},
		{"[fd00::1]:9", []string{"2001:db8::5"}, proxies, "2001:db8::5"},
		{"pipe", nil, proxies, "invalid IP"},
	} {
		e, _ := newEdge(t, Config{TrustedProxies: c.trusted}, nil)
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = c.peer
		for _, f := range c.forwarded {
			r.Header.Add("X-Forwarded-For", f)
		}
		if got := e.client(r).String(); got != c.want {
			t.Errorf("peer %s forwarding %q: %s, want %s", c.peer, c.forwarded, got, c.want)
		}
	}
}

// TestPeersPastTheProxyAreRefused: behind a proxy, only that is answered, but for
// the checks of life.
func TestPeersPastTheProxyAreRefused(t *testing.T) {
	t.Parallel()
	e, log := newEdge(t, Config{TLS: true, TrustedProxies: []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8")}}, nil)
	for _, c := range []struct {
		peer, path string
		want       int
	}{
		{"10.1.1.1:9", "/", 200}, {"[::ffff:10.1.1.1]:9", "/", 200},
		{"192.0.2.1:9", "/", 403}, {"127.0.0.1:9", "/api/v1/book", 403}, {"pipe", "/", 403},
		{"127.0.0.1:9", "/readyz", 200}, {"192.0.2.1:9", "/healthz", 200},
	} {
		r := httptest.NewRequest("GET", c.path, nil)
		r.RemoteAddr = c.peer
		r.Header.Set("X-Forwarded-For", "10.2.2.2")
		log.Reset()
		w := send(e, fine, r)
		if w.Code != c.want || w.Code == 403 && problemIn(t, w).Code != NotThroughProxy || log.Len() == 0 {
			t.Errorf("%s from %s: %d %s", c.path, c.peer, w.Code, w.Body)
		}
	}
}
