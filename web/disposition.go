package web

import (
	"net/url"
	"strings"
)

// contentDisposition names a file for download: letters that every client takes,
// and the whole name encoded beside them.
func contentDisposition(name string) string {
	plain := strings.Map(func(r rune) rune {
		if r > ' ' && r < 0x7f && !strings.ContainsRune(`"\/;%`, r) {
			return r
		}
		return '_'
	}, name)
	return `attachment; filename="` + plain + `"; filename*=UTF-8''` + url.PathEscape(name)
}

// download sends a file.
func (c *call) download(data []byte, name, mediaType string) error {
	h := c.w.Header()
	h.Set("Content-Type", mediaType)
	h.Set("Content-Disposition", contentDisposition(name))
	_, err := c.w.Write(data)
	return err
}
