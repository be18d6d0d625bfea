package edge

import "net/http"

// recorder notes what was answered.
type recorder struct {
	http.ResponseWriter
	status int
	bytes  int64
}

// WriteHeader passes on the first final status; a later one could not be sent.
func (w *recorder) WriteHeader(status int) {
	if w.status != 0 {
		return
	}
	if status >= 200 {
		w.status = status
	}
	w.ResponseWriter.WriteHeader(status)
}

func (w *recorder) Write(data []byte) (int, error) {
	if w.status == 0 {
		w.status = http.StatusOK
	}
	n, err := w.ResponseWriter.Write(data)
	w.bytes += int64(n)
	return n, err
}

// Unwrap lets http.ResponseController reach the connection.
func (w *recorder) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// started says that part of the answer is already on its way.
func (w *recorder) started() bool { return w.status != 0 }
