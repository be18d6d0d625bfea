package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"

	"kerfbook/api"
	"kerfbook/api/answer"
	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/api/store"
	"kerfbook/cmd/kerfbook/settings"
	"kerfbook/costing/book/check"
	"kerfbook/testdata"
	"kerfbook/web"
	"kerfbook/web/frame"
)

// shutdownTime is how long requests under way may take once the server is told
// to stop.
const shutdownTime = 25 * time.Second

// maker is who acts on this machine's command line.
func maker() service.Actor { return service.Actor{Name: "command line", Scopes: service.AllScopes} }

// runServe serves the pages and the API until it is told to stop.
func runServe(c *call) action {
	flags := settings.NewFlags(c.flags)
	return func(ctx context.Context, _ []string) error {
		s, err := resolved(flags, "kerfbook.db")
		if err != nil {
			return err
		}
		return c.serve(ctx, s, nil, nil)
	}
}

// runDemo serves the demo book from a database of its own, which a second start
// finds again; or it writes the book to a file.
func runDemo(c *call) action {
	flags := settings.NewFlags(c.flags)
	write := c.flags.String("write", "", "write the demo book to this file, which must not exist, and serve nothing")
	return func(ctx context.Context, _ []string) error {
		if *write != "" {
			if err := writeNew(*write, testdata.Demo); err != nil {
				return err
			}
			_, err := fmt.Fprintf(c.stdout, "wrote the demo book to %s; try: kerfbook price %s\n", *write, *write)
			return err
		}
		s, err := resolved(flags, "demo.db")
		if err != nil {
			return err
		}
		return c.serve(ctx, s, testdata.Demo, nil)
	}
}

// serve opens the database, loads the first book into an empty one, prints a
// sign-in link, gives it to opened if there is one, and serves until ctx ends.
func (c *call) serve(ctx context.Context, s settings.Settings, first []byte, opened func(link string)) error {
	log := slog.New(slog.NewJSONHandler(c.stderr, &slog.HandlerOptions{Level: s.Level()}))
	place, err := store.Lock(s.Data)
	if err != nil {
		return err
	}
	defer place.Close() //nolint:errcheck // it ends with the process
	l, err := s.Listener()
	if err != nil {
		return err
	}
	st, err := store.Open(ctx, s.Data)
	if err != nil {
		return errors.Join(err, l.Close())
	}
	defer st.Close()
	svc := service.New(st, time.Now, rand.Reader)
	defer svc.Close() // before the database
	e, handler, err := handlers(s, svc, log)
	if err == nil {
		err = load(ctx, svc, first)
	}
	if err == nil {
		err = readAll(ctx, svc, log)
	}
	if err == nil {
		origin := s.Origin(l.Addr())
		place.Tell(origin)
		err = c.welcome(ctx, svc, s, origin, opened)
	}
	if err != nil {
		return errors.Join(err, l.Close())
	}
	var preparing sync.WaitGroup
	defer preparing.Wait()
	// The first page asks for the usual batches; what cannot be priced is said there.
	preparing.Go(func() { _, _ = svc.AskedPrices(ctx, nil) })
	return serveOn(ctx, l, e, edge.Server(e.Config, handler, log))
}

// load puts a first book into a database that has none.
func load(ctx context.Context, svc *service.Service, text []byte) error {
	if text == nil {
		return nil
	}
	_, version, err := svc.Book(ctx)
	if err == nil || answer.CodeOf(err) != answer.NotFound {
		return err
	}
	_, err = svc.ImportBook(ctx, maker(), text, version)
	return err
}

// readAll reads every stored record before the first request does, and names those
// that this program refuses.
func readAll(ctx context.Context, svc *service.Service, log *slog.Logger) error {
	b, version, err := svc.Book(ctx)
	if answer.CodeOf(err) == answer.NotFound {
		log.InfoContext(ctx, "there is no book yet")
		return nil
	}
	if err != nil {
		return err
	}
	for _, problem := range check.Unread(b) {
		log.WarnContext(ctx, "a stored record cannot be read", "record", problem.Message)
	}
	log.InfoContext(ctx, "every stored record was looked at", "book", version, "cannot_be_read", len(b.Unread))
	return nil
}

// handlers mounts the API and the pages side by side on one edge.
func handlers(s settings.Settings, svc *service.Service, log *slog.Logger) (*edge.Edge, http.Handler, error) {
	release, _ := builtFrom()
	cfg, err := s.Edge(release)
	if err != nil {
		return nil, nil, err
	}
	return handlersAt(cfg, svc, log)
}

func handlersAt(cfg edge.Config, svc *service.Service, log *slog.Logger) (*edge.Edge, http.Handler, error) {
	e, err := edge.New(cfg, svc, log)
	if err != nil {
		return nil, nil, err
	}
	pages, err := web.New(e, svc)
	if err != nil {
		return nil, nil, err
	}
	return e, front(api.New(svc, e), pages), nil
}

// front hands each request to programs or pages and answers none itself, so that
// every answer has passed the edge.
func front(programs, pages http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if p := r.URL.Path; p == "/healthz" || p == "/readyz" || strings.HasPrefix(p, "/api/") {
			programs.ServeHTTP(w, r)
			return
		}
		pages.ServeHTTP(w, r)
	})
}

// welcome says where the server is and gives a link that signs in once.
func (c *call) welcome(ctx context.Context, svc *service.Service, s settings.Settings, origin string, opened func(link string)) error {
	secret, err := svc.NewSignInLink(ctx)
	if err != nil {
		return err
	}
	link := origin + frame.SignInPath(secret)
	_, err = fmt.Fprintf(c.stdout, "Kerfbook serves %s on %s\nSign in, once, within 15 minutes: %s\nStop with Ctrl-C.\n", store.Name(s.Data), origin, link)
	if err == nil && opened != nil {
		opened(link)
	}
	return err
}

// serveOn serves until ctx ends, then lets requests under way finish.
func serveOn(ctx context.Context, l net.Listener, e *edge.Edge, server *http.Server) error {
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	e.Draining.Store(true)
	stop, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownTime)
	defer cancel()
	if err := server.Shutdown(stop); err != nil {
		return errors.Join(err, server.Close())
	}
	if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}
