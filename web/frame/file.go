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

// Upload takes the file of a form, of which no more than a little above a limit is read.
// Without a file there is none.
func (c *Call) Upload(limit int64) (data []byte, err error) {
	file, header, err := c.R.FormFile("file")
	if errors.Is(err, http.ErrMissingFile) || errors.Is(err, http.ErrNotMultipart) {
		return nil, nil
	}
	if err != nil {
		return nil, &edge.Refusal{Kind: edge.BadRequest, Detail: "the file cannot be read"}
	}
	defer file.Close()
	data = make([]byte, min(header.Size, limit+1))
	if _, err := io.ReadFull(file, data); err != nil {
		return nil, &edge.Refusal{Kind: edge.BadRequest, Detail: "the file ended before it was complete"}
	}
	return data, nil
}

// Download sends a file.
func (c *Call) Download(data []byte, name, mediaType string) error {
	h := c.W.Header()
	h.Set("Content-Type", mediaType)
	h.Set("Content-Disposition", contentDisposition(name))
	_, err := c.W.Write(data)
	return err
}
