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
