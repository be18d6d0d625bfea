package frame

import "net/url"

// RecordHref is the address of the page of a record.
func RecordHref(kind, id string) string { return "/book/" + kind + "/" + url.PathEscape(id) }
