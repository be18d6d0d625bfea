package api

import (
	"context"
	"time"

	"kerfbook/api/edge"
)

// heavyWait is how long a request waits for a processor before it is turned
// away.
const heavyWait = 5 * time.Second

// heavy takes one of the places for costly work, as many as there are
// processors, so that such requests do not starve all others.
func (a *API) heavy(ctx context.Context) (release func(), err error) {
	ctx, cancel := context.WithTimeout(ctx, heavyWait)
	defer cancel()
	select {
	case a.places <- struct{}{}:
		return func() { <-a.places }, nil
	case <-ctx.Done():
		return nil, &edge.Refusal{Kind: edge.Busy, Detail: "all processors are busy with other requests", Wait: time.Second}
	}
}
