package frame

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

// Download sends a file.
func (c *Call) Download(data []byte, name, mediaType string) error {
	h := c.W.Header()
	h.Set("Content-Type", mediaType)
	h.Set("Content-Disposition", contentDisposition(name))
	_, err := c.W.Write(data)
	return err
}
