package frame

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"path"
	"strings"
	"sync"
)

// staticFile is a file as it is and packed.
type staticFile struct {
	mediaType     string
	plain, packed []byte
}

var mediaTypes = map[string]string{
	".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml",
}

func newStaticFile(name string, data []byte) (staticFile, error) {
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return staticFile{}, err
	}
	if _, err := w.Write(data); err != nil {
		return staticFile{}, err
	}
	if err := w.Close(); err != nil {
		return staticFile{}, err
	}
	return staticFile{mediaTypes[path.Ext(name)], data, packed.Bytes()}, nil
}

// packers are kept: making one costs more than packing a page.
var packers = sync.Pool{New: func() any {
	w, _ := gzip.NewWriterLevel(io.Discard, gzip.BestSpeed) // the level is a valid one
	return w
}}

// send writes a page, packed where the browser takes it. A page that holds a
// secret is sent as it is: the length of a packed one would tell about it.
func send(w http.ResponseWriter, r *http.Request, status int, body []byte, secret bool) {
	h := w.Header()
	h.Add("Vary", "Accept-Encoding")
	if secret || !acceptsGzip(r) {
		w.WriteHeader(status)
		w.Write(body)
		return
	}
	h.Set("Content-Encoding", "gzip")
	w.WriteHeader(status)
	packer := packers.Get().(*gzip.Writer)
	defer packers.Put(packer)
	packer.Reset(w)
	packer.Write(body)
	packer.Close()
}

func acceptsGzip(r *http.Request) bool {
	for item := range strings.SplitSeq(r.Header.Get("Accept-Encoding"), ",") {
		name, quality, _ := strings.Cut(strings.TrimSpace(item), ";")
		if name == "gzip" && !strings.HasPrefix(strings.TrimSpace(quality), "q=0") {
			return true
		}
	}
	return false
}
