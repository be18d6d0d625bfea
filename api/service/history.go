package service

import (
	"context"
	"slices"
)

// History lists entries of the change log, the newest first: those before an
// entry, or the last ones if it is 0. more says whether there are earlier ones.
func (s *Service) History(ctx context.Context, before int64, limit int) (page []LogEntry, more bool, err error) {
	err = s.view(ctx, func(tx Tx) error {
		page, more = nil, false
		return tx.Log().Each(ctx, func(e LogEntry) error {
			if before > 0 && e.Seq >= before {
				return nil
			}
			page = append(page, e)
			if len(page) > 2*limit {
				page, more = slices.Clone(page[len(page)-limit:]), true
			}
			return nil
		})
	})
	if len(page) > limit {
		page, more = page[len(page)-limit:], true
	}
	slices.Reverse(page)
	return page, more, err
}
