package web

import "net/url"

// recordHref is the address of the page of a record.
func recordHref(kind, id string) string { return "/book/" + kind + "/" + url.PathEscape(id) }
