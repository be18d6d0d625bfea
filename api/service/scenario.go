package service

import (
	"cmp"
	"context"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/bom"
	"kerfbook/costing/estimate"
)

// Scenario is several changes of the book under a name, none of which is made.
type Scenario struct {
	Name    string            `json:"name"`
	Version answer.Version    `json:"version" doc:"What If-Match names, there in quotes"`
	Batch   string            `json:"batch" doc:"It was thought of for, such as glow=250,plain=100"`
	As      string            `json:"as,omitempty" doc:"one where that was one batch, else each line was a batch of its own"`
	Changes []change.Proposed `json:"changes"`
	KeptAt  time.Time         `json:"kept_at"`
	KeptBy  string            `json:"kept_by"`
}

// StoredScenario is a scenario as the store keeps it.
type StoredScenario struct {
	Name    string
	Content []byte
	KeptAt  time.Time
	KeptBy  string
}

// ScenarioStore keeps scenarios under their names.
type ScenarioStore interface {
	// Get gives one; NotFound if there is none.
	Get(ctx context.Context, name string) (StoredScenario, error)
	// List gives all in the order of their names.
	List(ctx context.Context) ([]StoredScenario, error)
	// Put keeps one in the place of that with its name.
	Put(ctx context.Context, s StoredScenario) error
	// Delete removes one; NotFound if there is none.
	Delete(ctx context.Context, name string) error
}

func (r StoredScenario) scenario() (out Scenario, err error) {
	if err := json.Unmarshal(r.Content, &out); err != nil {
		return out, fmt.Errorf("scenario %s cannot be read: %w", r.Name, err)
	}
	out.Name, out.Version, out.KeptAt, out.KeptBy = r.Name, answer.Version(r.hash()[:16]), r.KeptAt.UTC(), r.KeptBy
	return out, nil
}

// hash covers all of it, in hex; nothing for none.
func (r StoredScenario) hash() string {
	if r.Name == "" {
		return ""
	}
	return hex.EncodeToString(hashOf(fmt.Appendf(nil, "%q %d %q %s", r.Name, micros(r.KeptAt), r.KeptBy, r.Content)))
}

// scenarioPrefix begins the names of scenarios in the log.
const scenarioPrefix = "scenarios/"

// Scenarios lists those kept, in the order of their names.
func (s *Service) Scenarios(ctx context.Context) ([]Scenario, error) {
	out := []Scenario{}
	err := s.view(ctx, func(tx Tx) error {
		stored, err := tx.Scenarios().List(ctx)
		for _, r := range stored {
			one, bad := r.scenario()
			out, err = append(out, one), errors.Join(err, bad)
		}
		return err
	})
	return out, err
}

// Scenario gives one by its name; NotFound if there is none.
func (s *Service) Scenario(ctx context.Context, name string) (out Scenario, err error) {
	err = s.view(ctx, func(tx Tx) error {
		found, err := tx.Scenarios().Get(ctx, name)
		if err == nil {
			out, err = found.scenario()
		}
		return err
	})
	return out, err
}

// ScenarioRequest is a scenario to be kept.
type ScenarioRequest struct {
	Name, Batch, As string // the batch as ParseMix reads it
	Day             bom.Date
	Changes         []change.Change
}

// KeepScenario keeps changes under a name; the book stays as it is. ifMatch is the version
// of the scenario in whose place they come, empty for none.
func (s *Service) KeepScenario(ctx context.Context, a Actor, req ScenarioRequest, ifMatch answer.Version) (Scenario, error) {
	o, err := s.Origin(ctx)
	if err != nil {
		return Scenario{}, err
	}
	mix, err := answer.ParseMix(o.Book, req.Batch)
	if err != nil {
		return Scenario{}, answer.PointedAt("/batch", answer.Invalidf("%s", err))
	}
	proposed, err := o.Propose(ctx, mix, req.Day, req.Changes)
	if err != nil {
		return Scenario{}, answer.PointedAt("/changes", err)
	}
	content, err := json.Marshal(Scenario{Batch: req.Batch, As: req.As, Changes: proposed})
	if err != nil {
		return Scenario{}, answer.Unexpected(err)
	}
	return s.putScenario(ctx, a, req.Name, ifMatch, func(StoredScenario) StoredScenario {
		return StoredScenario{Name: req.Name, Content: content}
	})
}

// RenameScenario gives one another name.
func (s *Service) RenameScenario(ctx context.Context, a Actor, name, to string, ifMatch answer.Version) (Scenario, error) {
	return s.putScenario(ctx, a, name, ifMatch, func(now StoredScenario) StoredScenario {
		return StoredScenario{Name: to, Content: now.Content}
	})
}

// RemoveScenario forgets one; the book stays as it is.
func (s *Service) RemoveScenario(ctx context.Context, a Actor, name string, ifMatch answer.Version) error {
	_, err := s.putScenario(ctx, a, name, ifMatch, func(StoredScenario) StoredScenario { return StoredScenario{} })
	return err
}

// putScenario puts another in the place of a scenario, none of whose name it removes; each
// is logged.
func (s *Service) putScenario(ctx context.Context, a Actor, name string, ifMatch answer.Version, make func(now StoredScenario) StoredScenario) (out Scenario, err error) {
	if err := a.need(Write); err != nil {
		return out, err
	}
	err = s.Update(ctx, func(tx Tx) error {
		now, err := tx.Scenarios().Get(ctx, name)
		next := make(now)
		switch {
		case answer.CodeOf(err) == answer.NotFound && ifMatch == "" && next.Name == name:
		case err != nil:
			return err
		default:
			if refused := change.Matching("the scenario "+name, answer.Version(now.hash()[:16]), ifMatch); refused != nil {
				return refused
			}
		}
		if now.Name != "" && next.Name != name {
			if err := tx.Scenarios().Delete(ctx, name); err != nil {
				return err
			}
			if _, err := s.log(ctx, tx, a, "remove scenario", scenarioPrefix+name, now.hash(), ""); err != nil || next.Name == "" {
				return err
			}
			if now, err = tx.Scenarios().Get(ctx, next.Name); err == nil {
				return answer.Errorf(answer.Exists, "there is a scenario %s already", next.Name)
			}
		}
		if err := plainName("the name of a scenario", next.Name); err != nil {
			return err
		}
		next.KeptAt, next.KeptBy = s.clock(), a.Name
		if err := tx.Scenarios().Put(ctx, next); err != nil {
			return err
		}
		if _, err := s.logAt(ctx, tx, next.KeptAt, a, "keep scenario", scenarioPrefix+next.Name, now.hash(), next.hash()); err != nil {
			return err
		}
		out, err = next.scenario()
		return err
	})
	return out, err
}

// TakeOver writes the changes of a scenario that still apply into the book, as one
// change, and says which do not. ifMatch is the version of the book.
func (s *Service) TakeOver(ctx context.Context, a Actor, mix []estimate.MixLine, day bom.Date, name string, ifMatch answer.Version) (v answer.Version, lapsed []change.Lapsed, err error) {
	found, err := s.Scenario(ctx, name)
	if err != nil {
		return "", nil, err
	}
	o, err := s.Origin(ctx)
	if err != nil {
		return "", nil, err
	}
	stands, lapsed, err := o.Standing(ctx, mix, day, found.Changes)
	if err == nil && len(stands) == 0 {
		refused := answer.Invalidf("no change of the scenario applies any more")
		for _, l := range lapsed {
			refused.Fields = append(refused.Fields, answer.FieldError{Path: l.Change.Key, Message: l.Why})
		}
		err = refused
	}
	if err != nil {
		return "", lapsed, err
	}
	a.Reason = cmp.Or(a.Reason, "scenario "+name)
	v, err = s.ApplyChangeIn(ctx, a, mix, day, stands, ifMatch)
	return v, lapsed, err
}

// scenarios holds those stored against what the log says of each last.
func (v *verification) scenarios(ctx context.Context, store ScenarioStore) error {
	list, err := store.List(ctx)
	for _, r := range list {
		object := scenarioPrefix + r.Name
		switch e, ok := v.kept[object]; {
		case !ok:
			v.fault(0, object, "the change log does not know it")
		case e.After != r.hash():
			v.fault(e.Seq, object, "was changed after it was written")
		}
		delete(v.kept, object)
	}
	for _, object := range slices.Sorted(maps.Keys(v.kept)) {
		if e := v.kept[object]; e.After != "" {
			v.fault(e.Seq, object, "is missing")
		}
	}
	return err
}
