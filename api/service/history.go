package service

import "context"

// History lists entries of the change log, the newest first: those before an
// entry, or the last ones if it is 0. more says whether there are earlier ones.
func (s *Service) History(ctx context.Context, before int64, limit int) (page []LogEntry, more bool, err error) {
	limit = pageSize(limit)
	err = s.view(ctx, func(tx Tx) error {
		page, err = tx.Log().Page(ctx, before, limit+1)
		return err
	})
	if more = len(page) > limit; more {
		page = page[:limit]
	}
	return page, more, err
}
