package edge

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

func TestReadBody(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		what, mediaType, encoding, body string
		want                            Kind
	}{
		{"right", "application/json", "", "{}", ""},
		{"with its character set", "application/json; charset=UTF-8", "", "{}", ""},
		{"the other type", "text/yaml", "", "a: 1", ""},
		{"no type", "", "", "{}", MediaType},
		{"a form", "application/x-www-form-urlencoded", "", "{}", MediaType},
		{"another character set", "application/json; charset=latin1", "", "{}", MediaType},
		{"nonsense", "application/json; =", "", "{}", MediaType},
		{"packed", "application/json", "gzip", "{}", MediaType},
		{"empty", "application/json", "", "", BadRequest},
		{"at the limit", "application/json", "", strings.Repeat("x", 100), ""},
		{"one over", "application/json", "", strings.Repeat("x", 101), TooLarge},
	} {
		r := httptest.NewRequest("POST", "/", strings.NewReader(c.body))
		r.Header.Set("Content-Type", c.mediaType)
		if c.encoding != "" {
			r.Header.Set("Content-Encoding", c.encoding)
		}
		for _, known := range []bool{true, false} {
			if !known {
				r.ContentLength = -1
				r.Body = io.NopCloser(strings.NewReader(c.body))
			}
			data, _, err := ReadBody(httptest.NewRecorder(), r, 100, "application/json", "text/yaml")
			if kindOf(err) != c.want || err == nil && string(data) != c.body {
				t.Errorf("%s, length known %t: %v", c.what, known, err)
			}
		}
	}
}

// counting counts what a server reads.
type counting struct {
	net.Listener
	read atomic.Int64
}

type countingConn struct {
	net.Conn
	l *counting
}

func (l *counting) Accept() (net.Conn, error) {
	c, err := l.Listener.Accept()
	return countingConn{c, l}, err
}

func (c countingConn) Read(p []byte) (int, error) {
	n, err := c.Conn.Read(p)
	c.l.read.Add(int64(n))
	return n, err
}

// serve runs the real server with its limits.
func serve(t *testing.T, c Config, next http.HandlerFunc) *counting {
	t.Helper()
	e, _ := newEdge(t, c, nil)
	plain, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	l := &counting{Listener: plain}
	s := Server(c, e.Wrap(next, WriteProblem), e.Log)
	go func() { _ = s.Serve(l) }()
	t.Cleanup(func() { _ = s.Close() })
	return l
}

// TestTooLargeBodiesAreNotRead sends endless bodies, announced and not.
func TestTooLargeBodiesAreNotRead(t *testing.T) {
	t.Parallel()
	const limit = 64 << 10
	for _, head := range []string{"Content-Length: 50000000", "Transfer-Encoding: chunked"} {
		l := serve(t, Config{}, func(w http.ResponseWriter, r *http.Request) {
			if _, _, err := ReadBody(w, r, limit, "application/json"); err != nil {
				WriteProblem(w, r, FailureOf(err))
			}
		})
		conn, err := net.Dial("tcp", l.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		go func() {
			fmt.Fprintf(conn, "POST / HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n%s\r\n\r\n", head)
			chunk := fmt.Sprintf("1000\r\n%s\r\n", strings.Repeat("x", 4096))
			for range 10_000 {
				if _, err := io.WriteString(conn, chunk); err != nil {
					return
				}
			}
		}()
		answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
		if err != nil {
			t.Fatal(err)
		}
		if answer.StatusCode != 413 || !answer.Close {
			t.Errorf("%s: %s, close %t", head, answer.Status, answer.Close)
		}
		if n := l.read.Load(); n > limit+64<<10 {
			t.Errorf("%s: %d bytes were read", head, n)
		}
		answer.Body.Close()
	}
}

func TestSlowAndLargeHeadersAreCut(t *testing.T) {
	t.Parallel()
	l := serve(t, Config{HeaderTimeout: 100 * time.Millisecond}, fine)
	slow, err := net.Dial("tcp", l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	defer slow.Close()
	_, _ = io.WriteString(slow, "GET / HTTP/1.1\r\nHost: x\r\n")
	_ = slow.SetReadDeadline(time.Now().Add(5 * time.Second))
	if data, err := io.ReadAll(slow); err != nil || strings.Contains(string(data), "200") {
		t.Errorf("a slow client: %q, %v", data, err)
	}
	ask := func(size int) int {
		r, _ := http.NewRequestWithContext(t.Context(), "GET", "http://"+l.Addr().String(), nil)
		r.Header.Set("X-Long", strings.Repeat("x", size))
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		return answer.StatusCode
	}
	if ask(20<<10) != 200 || ask(40<<10) != 431 {
		t.Errorf("20 KiB of headers: %d, 40 KiB: %d", ask(20<<10), ask(40<<10))
	}
}
