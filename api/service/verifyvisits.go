package service

import (
	"context"
	"maps"
	"slices"
	"strings"
	"time"
)

// visits are the sign-in links and sessions that the log tells of.
type visits struct {
	since time.Time           // of the first entry about any; zero for a log without
	made  map[string]LogEntry // by object, the entry that made it
	last  map[string]LogEntry // by object
}

func newVisits() visits {
	return visits{made: map[string]LogEntry{}, last: map[string]LogEntry{}}
}

func (v *visits) follow(e LogEntry) {
	if !strings.HasPrefix(e.Object, linkPrefix) && !strings.HasPrefix(e.Object, sessionPrefix) {
		return
	}
	if v.since.IsZero() {
		v.since = e.At
	}
	if e.After != "" {
		v.made[e.Object] = e
	}
	v.last[e.Object] = e
}

// life is how long a link or a session lasts at most.
func life(object string) time.Duration {
	if strings.HasPrefix(object, linkPrefix) {
		return LinkLife
	}
	return sessionLife
}

// signIns holds every link and session against the entries that made, used or
// ended it. Those made before the log told of any are passed while they may last.
func (v *verification) signIns(ctx context.Context, stored AccessStore, now time.Time) error {
	links, err := stored.Links(ctx)
	if err != nil {
		return err
	}
	for _, l := range links {
		v.visit(linkObject(l.Hash), l.content(), l.Created, l.Expires, l.Spent)
	}
	sessions, err := stored.Sessions(ctx)
	if err != nil {
		return err
	}
	for _, s := range sessions {
		v.visit(sessionObject(s.Hash), s.content(), s.Created, s.Expires, time.Time{})
	}
	for _, object := range slices.Sorted(maps.Keys(v.visits.made)) {
		made := v.visits.made[object]
		open := v.visits.last[object].Seq == made.Seq || strings.HasPrefix(object, linkPrefix)
		if open && now.Before(made.At.Add(life(object))) {
			v.fault(made.Seq, object, "is missing")
		}
	}
	return nil
}

// visit checks one that is stored, and crosses it off.
func (v *verification) visit(object, content string, created, expires, spent time.Time) {
	made, ok := v.visits.made[object]
	last := v.visits.last[object]
	delete(v.visits.made, object)
	switch {
	case !ok && (v.visits.since.IsZero() || created.Before(v.visits.since)) && !expires.After(created.Add(life(object))):
	case !ok:
		v.fault(0, object, "the change log does not know it")
	case made.After != content:
		v.fault(made.Seq, object, "was changed after it was written")
	case spent.IsZero() && last.Seq != made.Seq:
		v.fault(last.Seq, object, "is open again, though it was used or ended")
	case !spent.IsZero() && (last.Seq == made.Seq || !last.At.Equal(spent)):
		v.fault(made.Seq, object, "when it was used was changed")
	}
}
