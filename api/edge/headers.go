package edge

import (
	"net/http"
	"strings"
)

// The content policies. That of pages allows what this server itself sends and
// nothing inline; that of data allows nothing at all.
const (
	PagePolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; " +
		"connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; object-src 'none'"
	DataPolicy = "default-src 'none'; frame-ancestors 'none'; sandbox"
)

// harden sets the headers that every answer carries, errors and downloads
// included. A handler that sends a page replaces the policy with PageHeaders.
func (e *Edge) harden(h http.Header) {
	h.Set("Content-Security-Policy", DataPolicy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=(), payment=(), usb=()")
	h.Set("Cache-Control", "no-store")
	if e.Config.TLS {
		h.Set("Strict-Transport-Security", "max-age=63072000; includeSubDomains")
	}
}

// PageHeaders turns the headers of an answer into those of a page.
func PageHeaders(h http.Header) {
	h.Set("Content-Security-Policy", PagePolicy)
	h.Set("Content-Type", "text/html; charset=utf-8")
}

// Attachment is the header Content-Disposition of a file with a name that the
// program chose. Characters that could end the name or begin another parameter
// are left out.
func Attachment(name string) string {
	safe := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-_.", r) {
			return r
		}
		return -1
	}, name)
	return `attachment; filename="` + safe + `"`
}
