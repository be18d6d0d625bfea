package frame

import (
	"errors"
	"io"
	"net/http"
	"net/url"
	"strings"

	"kerfbook/api/edge"
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

// Upload takes a text from the file of a form, of which no more than a little above a
// limit is read. Without a file there is none.
func (c *Call) Upload(limit int64) (text string, err error) {
	file, _, err := c.R.FormFile("file")
	if errors.Is(err, http.ErrMissingFile) || errors.Is(err, http.ErrNotMultipart) {
		return "", nil
	}
	if err != nil {
		return "", &edge.Refusal{Kind: edge.BadRequest, Detail: "the file cannot be read"}
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, limit+1))
	if err != nil {
		return "", &edge.Refusal{Kind: edge.BadRequest, Detail: "the file ended before it was complete"}
	}
	return string(data), nil
}

// Download sends a file.
func (c *Call) Download(data []byte, name, mediaType string) error {
	h := c.W.Header()
	h.Set("Content-Type", mediaType)
	h.Set("Content-Disposition", contentDisposition(name))
	_, err := c.W.Write(data)
	return err
}
