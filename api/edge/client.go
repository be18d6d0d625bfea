package edge

import (
	"net/http"
	"net/netip"
	"slices"
	"strings"
)

// client finds the address a request really came from. What a header says is
// believed only if the peer is a stated proxy, and then only as far back as the
// chain of stated proxies goes: everything before it could have been written by
// anyone.
func (e *Edge) client(r *http.Request) netip.Addr {
	addr := peer(r)
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

// peer is the address at the other end of the connection; invalid if unknown.
func peer(r *http.Request) netip.Addr {
	p, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Addr{}
	}
	return p.Addr().Unmap().WithZone("")
}

// throughProxy refuses what came past the stated proxies, where there are any:
// secrets may have crossed the network in the open. Whether the server is alive
// and ready is no secret.
func (e *Edge) throughProxy(r *http.Request) bool {
	return len(e.Config.TrustedProxies) == 0 || isCheck(r) || e.isProxy(peer(r))
}

func (e *Edge) isProxy(a netip.Addr) bool {
	return slices.ContainsFunc(e.Config.TrustedProxies, func(p netip.Prefix) bool { return p.Contains(a) })
}
