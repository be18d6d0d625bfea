package edge

import (
	"errors"
	"io"
	"mime"
	"net/http"
	"slices"
	"strings"
	"time"
)

// ReadBody reads a body of at most limit bytes whose media type is one of the
// given ones, and says which it is. The error is a *Refusal. A body that says
// beforehand that it is too long is refused unread.
func ReadBody(w http.ResponseWriter, r *http.Request, limit int64, types ...string) (data []byte, mediaType string, err error) {
	if mediaType, err = mediaTypeOf(r.Header, types); err != nil {
		return nil, "", err
	}
	if r.ContentLength > limit {
		return nil, "", bodyTooLarge(limit)
	}
	data, err = io.ReadAll(http.MaxBytesReader(bare(w), r.Body, limit))
	var over *http.MaxBytesError
	switch {
	case errors.As(err, &over):
		// Without this the library would read on, in the hope of using the
		// connection again. A writer without a connection has no deadline.
		_ = http.NewResponseController(w).SetReadDeadline(time.Unix(1, 0))
		return nil, "", bodyTooLarge(over.Limit)
	case err != nil:
		return nil, "", &Refusal{Kind: BadRequest, Detail: "the body ended before it was complete"}
	case len(data) == 0:
		return nil, "", &Refusal{Kind: BadRequest, Detail: "the body is empty"}
	}
	return data, mediaType, nil
}

// mediaTypeOf checks Content-Type, its character set included.
func mediaTypeOf(h http.Header, types []string) (string, error) {
	wrong := &Refusal{Kind: MediaType, Detail: "send the body as " + strings.Join(types, " or ") + " in UTF-8, and say so in Content-Type"}
	if h.Get("Content-Encoding") != "" {
		return "", &Refusal{Kind: MediaType, Detail: "send the body as it is, without Content-Encoding"}
	}
	mediaType, params, err := mime.ParseMediaType(h.Get("Content-Type"))
	if err != nil || !slices.Contains(types, mediaType) {
		return "", wrong
	}
	if charset := params["charset"]; charset != "" && !strings.EqualFold(charset, "utf-8") {
		return "", wrong
	}
	return mediaType, nil
}

// bare is the library's own writer, which the limit on a body has to tell that
// the rest of it is not to be read.
func bare(w http.ResponseWriter) http.ResponseWriter {
	for {
		outer, ok := w.(interface{ Unwrap() http.ResponseWriter })
		if !ok {
			return w
		}
		w = outer.Unwrap()
	}
}
