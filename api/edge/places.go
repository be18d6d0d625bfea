package edge

import (
	"context"
	"net/http"
	"time"
)

// Place takes one of the places for costly work, as many as there are processors
// and the same for programs and pages, so that such requests neither starve all
// others nor fill the memory. Who gets none in time is asked to come again.
func (e *Edge) Place(ctx context.Context) (release func(), err error) {
	ctx, cancel := context.WithTimeout(ctx, e.Config.PlaceWait)
	defer cancel()
	select {
	case e.places <- struct{}{}:
		return func() { <-e.places }, nil
	case <-ctx.Done():
		return nil, &Refusal{Kind: Busy, Detail: "all processors are busy with other requests", Wait: time.Second}
	}
}

// Releasing calls release when the answer begins, so that a client who reads
// slowly holds no place.
func Releasing(w http.ResponseWriter, release func()) http.ResponseWriter {
	return &releasing{w, release}
}

type releasing struct {
	http.ResponseWriter
	release func()
}

func (w *releasing) WriteHeader(status int) {
	w.release()
	w.ResponseWriter.WriteHeader(status)
}

func (w *releasing) Write(data []byte) (int, error) {
	w.release()
	return w.ResponseWriter.Write(data)
}

// Unwrap lets http.ResponseController reach the connection.
func (w *releasing) Unwrap() http.ResponseWriter { return w.ResponseWriter }
