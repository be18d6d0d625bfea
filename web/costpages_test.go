package web_test

import "testing"

// costPagePaths are pages about how sure, how much and why, of the demo book.
var costPagePaths = []string{
	"/spread", "/spread?trim=glow&pieces=250&c.mount=wall", "/spread?mix=plain%3D100%2Cglow%3D50&as=one&day=2026-11-25",
	"/spread?trim=plain&pieces=100&figure=variant%2Fplain%2Fprice%2Fdirect%2Fgross-wanted&price=262.50&chance=75&channel=direct&draws=30000&seed=7&decide=hindsight&precision=0.01",
	"/spread?trim=plain&pair1.a=offer%2FCU-60X20%2FORVENDA%2Fbreak%2F1%2Fprice&pair1.b=exchange%2Fselling%2FUSD-EUR&pair1.rank=0.6",
	"/spread?trim=plain&draws=0&seed=x&price=a&chance=120&pair1.a=offer%2FCU-60X20%2FORVENDA%2Fbreak%2F1%2Fprice&pair1.rank=2&precision=-1&pieces=2.5",
	"/spread?trim=plain&draws=1000000000", "/spread?trim=nobody", "/spread?trim=plain&c.light=tunable",
	"/compare", "/compare?a.trim=plain&a.pieces=100&b.trim=glow&b.pieces=100", "/compare?a.trim=plain&a.pieces=100&b.trim=plain&b.pieces=400&figure=production",
	"/compare?a.trim=plain&a.day=2026-11-25&b.trim=plain&b.c.mount=wall&b.day=2026-11-25", "/compare?a.trim=plain&a.pieces=100&b.trim=plain&b.pieces=100",
	"/compare?a.trim=quote&a.quote=2026-0001&b.trim=today&b.quote=2026-0001", "/compare?a.trim=quote&a.quote=2026-0001&b.trim=today&b.quote=2026-0001&figure=quote%2Ftotal",
	"/compare?a.trim=quote&a.quote=2026-9999&b.trim=plain", "/compare?a.trim=quote&a.quote=&b.trim=plain&b.pieces=0&a.day=x&figure=none", "/compare?a.trim=plain&b.trim=plain&figure=quote%2Ftotal",
	"/curve", "/curve?trim=plain&pieces=100&b.trim=plain&b.c.mount=wall&from=20&to=120&figure=production", "/curve?trim=plain&b.trim=glow&from=1&to=2000", "/curve?from=10&to=300&trim=plain&b.trim=plain&b.c.shade=alu&b.c.mount=wall",
	"/curve?from=10&to=60&trim=plain&c.shade=alu&b.trim=plain&b.c.shade=alu&b.c.mount=wall&b.c.light=tunable&breaks=all",
	"/curve?trim=plain&from=90&to=20&figure=nothing&pieces=x", "/curve?trim=plain&from=1&to=99999999999999999999",
	"/spread/cancelled?trim=plain&pieces=100&draws=10000000",
}

func TestCostPages(t *testing.T) {
	t.Parallel()
	s := demoShop(t)
	b := s.signIn(t)
	issueDemoQuote(t, b)
	for _, path := range costPagePaths {
		body := b.anyPage(path)
		checkPage(t, path, body)
		s.statistics(t, path, parsed(t, body))
	}
}
