package store

import (
	"context"
	"sync"
	"testing"
	"time"

	"kerfbook/api/service"
	"kerfbook/api/store/pgtest"
)

// TestSlowWritersLeaveReadersAlone keeps more writers waiting than there are
// connections: those who read must not notice.
func TestSlowWritersLeaveReadersAlone(t *testing.T) {
	t.Parallel()
	s, ctx := open(t, pgtest.Start(t).Database(t)), t.Context()
	begun, release := make(chan struct{}), make(chan struct{})
	var waiting sync.WaitGroup
	write := func(f func()) {
		waiting.Add(1)
		go func() {
			defer waiting.Done()
			err := s.Update(ctx, func(tx service.Tx) error {
				f()
				return tx.Records().SetVersion(ctx, "v")
			})
			if err != nil {
				t.Error(err)
			}
		}()
	}
	write(func() { close(begun); <-release })
	<-begun
	for range 3 * connections {
		write(func() {})
	}
	time.Sleep(100 * time.Millisecond) // until they wait
	for range 5 {
		brief, stop := context.WithTimeout(ctx, 2*time.Second)
		err := s.View(brief, func(tx service.Tx) error {
			_, err := tx.Records().Version(brief)
			return err
		})
		if _, other := s.BookVersion(brief); err != nil || other != nil {
			t.Errorf("reading beside slow writers: %v, %v", err, other)
		}
		stop()
	}
	close(release)
	waiting.Wait()
}
