package main

import (
	"bytes"
	"crypto/rand"
	"fmt"
	"io"
	"log/slog"
	"net"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/cmd/kerfbook/settings"
)

// TestEveryAnswerIsOneOfTheEdge asks for what no page and no route is: each answer
// bears the headers of all others and has its line in the log.
func TestEveryAnswerIsOneOfTheEdge(t *testing.T) {
	t.Parallel()
	st := must(store.Open(t.Context(), filepath.Join(t.TempDir(), "shop.db")))(t)
	defer st.Close()
	log := &lines{}
	logger := slog.New(slog.NewJSONHandler(log, nil))
	e, handler, err := handlers(settings.Settings{}, service.New(st, time.Now, rand.Reader), logger)
	if err != nil {
		t.Fatal(err)
	}
	l := must(net.Listen("tcp", "127.0.0.1:0"))(t)
	server := edge.Server(e.Config, handler, logger)
	go func() { _ = server.Serve(l) }()
	defer server.Close()
	for _, c := range []string{"GET //", "GET /api", "GET /api/", "GET /api//v1/book", "GET /a/../b", "GET /./", "POST /nowhere", "DELETE /", "HEAD /sign-in",
		"OPTIONS /", "OPTIONS *", "TRACE /", "CONNECT /api/", "GET /healthz/", "POST /readyz", "PUT /api/v1/nothing", "GET /static/", "GET /static/../.."} {
		conn := must(net.Dial("tcp", l.Addr().String()))(t)
		before := strings.Count(log.String(), "\n")
		fmt.Fprintf(conn, "%s HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n", c)
		answer := must(io.ReadAll(conn))(t)
		for _, header := range []string{"X-Request-Id: ", "Content-Security-Policy: ", "X-Content-Type-Options: nosniff", "Referrer-Policy: ", "Cache-Control: "} {
			if !bytes.Contains(answer, []byte("\r\n"+header)) {
				t.Errorf("%s: no %s in %.300s", c, header, answer)
			}
		}
		if bytes.Contains(answer, []byte(" 405 ")) && !bytes.Contains(answer, []byte("\r\nAllow: ")) {
			t.Errorf("%s: no Allow in %.300s", c, answer)
		}
		if n := strings.Count(log.String(), "\n") - before; n != 1 {
			t.Errorf("%s: %d lines in the log", c, n)
		}
	}
}
