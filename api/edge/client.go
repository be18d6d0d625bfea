package edge

import (
	"net/http"
	"net/netip"
	"strings"
)

// client finds the address a request really came from. What a header says is
// believed only if the peer is a stated proxy, and then only as far back as the
// chain of stated proxies goes: everything before it could have been written by
// anyone.
func (e *Edge) client(r *http.Request) netip.Addr {
	peer, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Addr{}
	}
	addr := peer.Addr().Unmap().WithZone("")
	if !e.isProxy(addr) {
		return addr
	}
	hops := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for i := len(hops) - 1; i >= 0; i-- {
		hop, err := netip.ParseAddr(strings.TrimSpace(hops[i]))
		if err != nil {
			return addr
		}
		if addr = hop.Unmap().WithZone(""); !e.isProxy(addr) {
			return addr
		}
	}
	return addr
}

func (e *Edge) isProxy(a netip.Addr) bool {
	for _, p := range e.Config.TrustedProxies {
		if p.Contains(a) {
			return true
		}
	}
	return false
}
