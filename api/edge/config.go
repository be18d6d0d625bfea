package edge

import (
	"cmp"
	"log/slog"
	"net/http"
	"net/netip"
	"time"

	"kerfbook/api/answer/change"
	"kerfbook/costing/text"
)

// Config sets the limits of everything that is served. The zero value of a field
// stands for its default, so that an empty Config is a safe one: plain HTTP on
// loopback, no proxy.
type Config struct {
	// Release is the version of the program, for whoever is signed in.
	Release string
	// TLS says that browsers reach the server over TLS, ended here or at a
	// proxy. Cookies then carry the __Host- prefix and Secure, and browsers are
	// told to come back over TLS only.
	TLS bool
	// PublicOrigin is what browsers have in their address line, such as
	// https://costs.example, where a proxy changes the Host header. It is
	// trusted as the origin of requests that change something.
	PublicOrigin string
	// TrustedProxies are the addresses whose X-Forwarded-For is believed; none
	// by default. With any, requests from others are refused.
	TrustedProxies []netip.Prefix

	// BodyLimit is the largest body of an ordinary request; 1 MiB.
	BodyLimit int64
	// BookLimit is the largest body that holds a whole book; what the reader of
	// books takes, 16 MiB.
	BookLimit int64
	// ModelLimit is the largest body that holds a model file with the form around it; 1 MiB
	// above what their reader takes, 64 MiB.
	ModelLimit int64
	// HeaderLimit is the most bytes of a request's line and headers; 32 KiB.
	HeaderLimit int

	// HeaderTimeout is how long a client may take to send its headers; 5 s.
	HeaderTimeout time.Duration
	// ReadTimeout is how long it may take to send the whole request; 30 s.
	ReadTimeout time.Duration
	// WriteTimeout is how long an answer may take; 60 s.
	WriteTimeout time.Duration
	// IdleTimeout is how long a connection is kept without a request; 120 s.
	IdleTimeout time.Duration
	// PlaceWait is how long a request waits for a processor before it is asked to
	// come again; 5 s.
	PlaceWait time.Duration
	// ReadyTimeout is how long a check of readiness waits for the store; 1 s.
	ReadyTimeout time.Duration

	// Attempts is how many wrong sign-ins or tokens one address may send before
	// it is made to wait; 5. The wait then doubles from a second up to
	// AttemptsPause.
	Attempts int
	// AttemptsPause is the longest wait after wrong attempts, and how long they
	// are remembered; 15 min.
	AttemptsPause time.Duration

	// PageSize is the length of a page of a list where none is asked for; 50.
	PageSize int
	// MaxPageSize is the longest page; 200. Longer ones are cut to it.
	MaxPageSize int
	// CacheBytes is how much of the answers to repeated requests is kept in
	// memory; 32 MiB.
	CacheBytes int

	// Now is the clock; time.Now.
	Now func() time.Time
}

// WithDefaults fills in every limit that is not set.
func (c Config) WithDefaults() Config {
	c.BodyLimit = cmp.Or(c.BodyLimit, 1<<20)
	c.BookLimit = cmp.Or(c.BookLimit, text.MaxBytes)
	c.ModelLimit = cmp.Or(c.ModelLimit, change.MaxModelBytes+1<<20)
	c.HeaderLimit = cmp.Or(c.HeaderLimit, 32<<10)
	c.HeaderTimeout = cmp.Or(c.HeaderTimeout, 5*time.Second)
	c.ReadTimeout = cmp.Or(c.ReadTimeout, 30*time.Second)
	c.WriteTimeout = cmp.Or(c.WriteTimeout, 60*time.Second)
	c.IdleTimeout = cmp.Or(c.IdleTimeout, 120*time.Second)
	c.PlaceWait = cmp.Or(c.PlaceWait, 5*time.Second)
	c.ReadyTimeout = cmp.Or(c.ReadyTimeout, time.Second)
	c.Attempts = cmp.Or(c.Attempts, 5)
	c.AttemptsPause = cmp.Or(c.AttemptsPause, 15*time.Minute)
	c.PageSize = cmp.Or(c.PageSize, 50)
	c.MaxPageSize = cmp.Or(c.MaxPageSize, 200)
	c.CacheBytes = cmp.Or(c.CacheBytes, 32<<20)
	if c.Now == nil {
		c.Now = time.Now
	}
	return c
}

// Server makes the server that listens for a handler, with the time and size
// limits of the configuration. Its own complaints go to the log.
func Server(c Config, h http.Handler, log *slog.Logger) *http.Server {
	c = c.WithDefaults()
	return &http.Server{
		Handler:           h,
		ReadHeaderTimeout: c.HeaderTimeout,
		ReadTimeout:       c.ReadTimeout,
		WriteTimeout:      c.WriteTimeout,
		IdleTimeout:       c.IdleTimeout,
		// The library reads 4096 bytes more than it is told.
		MaxHeaderBytes: max(1, c.HeaderLimit-4096),
		// It would answer OPTIONS * by itself, past the edge.
		DisableGeneralOptionsHandler: true,
		ErrorLog:                     slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
}
