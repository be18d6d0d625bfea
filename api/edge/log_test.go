package edge

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

// TestSecretsNeverReachTheLog sends a secret in every place a request has, to
// handlers that succeed, fail and panic.
func TestSecretsNeverReachTheLog(t *testing.T) {
	t.Parallel()
	const secret = "canary5f1c"
	e, log := newEdge(t, Config{}, holders{"good" + secret: {Name: "token mill", Scopes: service.Read}})
	router := chi.NewRouter()
	router.Use(NoteRoute)
	router.Post("/fine/{id}", func(w http.ResponseWriter, r *http.Request) {
		_, err := e.Caller(r)
		data, _ := io.ReadAll(r.Body)
		if err == nil {
			_, err = w.Write(data)
		}
		if err != nil {
			WriteProblem(w, r, e.Explain(r, err))
		}
	})
	router.Post("/fail/{id}", func(w http.ResponseWriter, r *http.Request) {
		WriteProblem(w, r, e.Explain(r, &answer.Error{Code: answer.Invalid, Message: secret}))
	})
	router.Post("/panic/{id}", func(_ http.ResponseWriter, r *http.Request) { panic(r.URL.String()) })
	h := e.Wrap(router, WriteProblem)
	for _, path := range []string{"/fine/", "/fail/", "/panic/", "/nowhere/"} {
		for _, bearer := range []string{"good", "bad", ""} {
			r := httptest.NewRequest("POST", path+secret+"?q="+secret, strings.NewReader(secret))
			r.AddCookie(&http.Cookie{Name: LocalCookie, Value: secret})
			for _, name := range []string{"User-Agent", "Referer", "X-Forwarded-For", "X-Request-Id", "If-Match", "Idempotency-Key", "Origin-Of-" + secret} {
				r.Header.Set(name, secret)
			}
			if bearer != "" {
				r.Header.Set("Authorization", "Bearer "+bearer+secret)
			}
			h.ServeHTTP(httptest.NewRecorder(), r)
		}
	}
	if strings.Contains(log.String(), secret) {
		t.Errorf("a secret is in the log:\n%s", log)
	}
	lines := logLines(t, log)
	if len(lines) < 12 {
		t.Errorf("%d lines", len(lines))
	}
	if !strings.Contains(log.String(), `"route":"/fine/{id}"`) || !strings.Contains(log.String(), `"actor":"token mill"`) {
		t.Errorf("the log does not say what happened:\n%s", log)
	}
}

// TestLogLinesCannotBeForged sends line ends where a log might repeat them.
func TestLogLinesCannotBeForged(t *testing.T) {
	t.Parallel()
	e, log := newEdge(t, Config{}, nil)
	r := httptest.NewRequest("GET", "/", nil)
	r.Method = "GET\n{\"msg\":\"forged\"}"
	r.RemoteAddr = "1.2.3.4:5\n{\"msg\":\"forged\"}"
	r.URL.Path = "/\r\n{\"msg\":\"forged\"}"
	send(e, fine, r)
	for _, line := range logLines(t, log) {
		if line["msg"] != "request" {
			t.Errorf("a forged line: %v", line)
		}
	}
}

func logLines(t testing.TB, log *bytes.Buffer) []map[string]any {
	t.Helper()
	var out []map[string]any
	for line := range strings.Lines(log.String()) {
		var one map[string]any
		if err := json.Unmarshal([]byte(line), &one); err != nil {
			t.Fatalf("%v in %s", err, line)
		}
		out = append(out, one)
	}
	return out
}

func TestLogSaysWhatHappened(t *testing.T) {
	t.Parallel()
	e, log := newEdge(t, Config{}, nil)
	r := httptest.NewRequest("GET", "/", nil)
	r.RemoteAddr = "192.0.2.7:1234"
	w := send(e, fine, r)
	line := logLines(t, log)[0]
	if line["status"] != 200.0 || line["bytes"] != 4.0 || line["client"] != "192.0.2.7" || line["request_id"] != w.Header().Get("X-Request-Id") {
		t.Errorf("%v", line)
	}
}
