package service

import (
	"cmp"
	"context"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
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

// content is what is stored of it.
type scenarioContent struct {
	Batch   string            `json:"batch"`
	As      string            `json:"as,omitempty"`
	Changes []change.Proposed `json:"changes"`
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

// mostScenarios is how many are kept at once.
const mostScenarios = 200

func (r StoredScenario) scenario() (Scenario, error) {
	var c scenarioContent
	if err := json.Unmarshal(r.Content, &c); err != nil {
		return Scenario{}, fmt.Errorf("scenario %s cannot be read: %w", r.Name, err)
	}
	return Scenario{r.Name, answer.Version(r.hash()[:16]), c.Batch, c.As, c.Changes, r.KeptAt.UTC(), r.KeptBy}, nil
}

// hash covers all of it, in hex.
func (r StoredScenario) hash() string {
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
			if bad != nil {
				return bad
			}
			out = append(out, one)
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
	Name    string // it has now, or is to have
	Rename  string // it is to have from now on; empty for the one it has
	Batch   string // as ParseMix reads it
	As      string
	Day     bom.Date
	Changes []change.Change // none where it is only given another name
	IfMatch answer.Version  // empty for a new one
}

// KeepScenario keeps changes under a name, or gives those kept another name.
func (s *Service) KeepScenario(ctx context.Context, a Actor, req ScenarioRequest) (out Scenario, err error) {
	if err := a.need(Write); err != nil {
		return out, err
	}
	next := StoredScenario{Name: req.Name, KeptBy: a.Name}
	if req.Rename != "" {
		next.Name = req.Rename
	}
	if err := plainName("the name of a scenario", next.Name); err != nil {
		return out, err
	}
	if len(req.Changes) > 0 {
		proposed, _, err := asked(ctx, s, func(o change.Origin) ([]change.Proposed, error) {
			mix, err := answer.ParseMix(o.Book, req.Batch)
			if err != nil {
				return nil, answer.PointedAt("/batch", answer.Invalidf("%s", err))
			}
			proposed, err := o.Propose(ctx, mix, req.Day, req.Changes)
			return proposed, answer.PointedAt("/changes", err)
		})
		if err != nil {
			return out, err
		}
		if next.Content, err = json.Marshal(scenarioContent{req.Batch, req.As, proposed}); err != nil {
			return out, answer.Unexpected(err)
		}
	}
	err = s.Update(ctx, func(tx Tx) error {
		out, err = s.keep(ctx, tx, a, req, next)
		return err
	})
	return out, err
}

// keep writes a scenario and logs it.
func (s *Service) keep(ctx context.Context, tx Tx, a Actor, req ScenarioRequest, next StoredScenario) (out Scenario, err error) {
	all, err := tx.Scenarios().List(ctx)
	if err != nil {
		return out, err
	}
	named := func(name string) int {
		return slices.IndexFunc(all, func(r StoredScenario) bool { return r.Name == name })
	}
	at, before := named(req.Name), ""
	switch {
	case at >= 0:
		if now, err := all[at].scenario(); err != nil {
			return out, err
		} else if refused := change.Matching("the scenario "+req.Name, now.Version, req.IfMatch); refused != nil {
			return out, refused
		}
		if next.Content == nil {
			next.Content = all[at].Content
		}
	case req.Rename != "" || req.IfMatch != "" && req.IfMatch != answer.AnyVersion || next.Content == nil:
		return out, answer.Errorf(answer.NotFound, "there is no scenario %s", bom.Shorten(req.Name))
	case len(all) >= mostScenarios:
		return out, answer.Errorf(answer.TooLarge, "%d scenarios are kept; remove one that is done with", mostScenarios)
	}
	if next.Name != req.Name {
		if named(next.Name) >= 0 {
			return out, answer.Errorf(answer.Exists, "there is a scenario %s already", next.Name)
		}
		if err := s.drop(ctx, tx, a, all[at]); err != nil {
			return out, err
		}
	} else if at >= 0 {
		before = all[at].hash()
	}
	next.KeptAt = s.clock()
	if err := tx.Scenarios().Put(ctx, next); err != nil {
		return out, err
	}
	if _, err := s.logAt(ctx, tx, next.KeptAt, a, "keep scenario", scenarioPrefix+next.Name, before, next.hash()); err != nil {
		return out, err
	}
	return next.scenario()
}

// drop removes a scenario and logs it.
func (s *Service) drop(ctx context.Context, tx Tx, a Actor, r StoredScenario) error {
	if err := tx.Scenarios().Delete(ctx, r.Name); err != nil {
		return err
	}
	_, err := s.log(ctx, tx, a, "remove scenario", scenarioPrefix+r.Name, r.hash(), "")
	return err
}

// RemoveScenario forgets one; the book stays as it is.
func (s *Service) RemoveScenario(ctx context.Context, a Actor, name string, ifMatch answer.Version) error {
	if err := a.need(Write); err != nil {
		return err
	}
	return s.Update(ctx, func(tx Tx) error {
		found, err := tx.Scenarios().Get(ctx, name)
		if err != nil {
			return err
		}
		now, err := found.scenario()
		if err != nil {
			return err
		}
		if refused := change.Matching("the scenario "+name, now.Version, ifMatch); refused != nil {
			return refused
		}
		return s.drop(ctx, tx, a, found)
	})
}

// Propose notes of changes in a batch what they are to replace, and refuses those that
// cannot be made.
func (s *Service) Propose(ctx context.Context, mix []estimate.MixLine, day bom.Date, changes []change.Change) ([]change.Proposed, error) {
	out, _, err := asked(ctx, s, func(o change.Origin) ([]change.Proposed, error) { return o.Propose(ctx, mix, day, changes) })
	return out, err
}

// WhatIfOf gives a batch before and after a scenario, as far as it still applies.
func (s *Service) WhatIfOf(ctx context.Context, mix []estimate.MixLine, day bom.Date, scenario []change.Proposed) (change.WhatIf, error) {
	out, _, err := asked(ctx, s, func(o change.Origin) (change.WhatIf, error) { return o.WhatIfOf(ctx, mix, day, scenario) })
	return out, err
}

// Standing parts the changes of a scenario into those that still apply to a batch and
// those that do not.
func (s *Service) Standing(ctx context.Context, mix []estimate.MixLine, day bom.Date, scenario []change.Proposed) (stands []change.Change, lapsed []change.Lapsed, err error) {
	_, _, err = asked(ctx, s, func(o change.Origin) (_ struct{}, err error) {
		stands, lapsed, err = o.Standing(ctx, mix, day, scenario)
		return struct{}{}, err
	})
	return stands, lapsed, err
}

// CompareScenarios holds scenarios against the stored book, for one batch.
func (s *Service) CompareScenarios(ctx context.Context, mix []estimate.MixLine, day bom.Date, names []string) (change.ScenarioComparison, error) {
	var scenarios [][]change.Proposed
	for _, name := range names {
		found, err := s.Scenario(ctx, name)
		if err != nil {
			return change.ScenarioComparison{}, err
		}
		scenarios = append(scenarios, found.Changes)
	}
	out, _, err := asked(ctx, s, func(o change.Origin) (change.ScenarioComparison, error) {
		return o.CompareScenarios(ctx, mix, day, names, scenarios)
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
	stands, lapsed, err := s.Standing(ctx, mix, day, found.Changes)
	if err != nil {
		return "", nil, err
	}
	if len(stands) == 0 {
		refused := answer.Invalidf("no change of the scenario applies any more")
		for _, l := range lapsed {
			refused.Fields = append(refused.Fields, answer.FieldError{Path: l.Change.Key, Message: l.Why})
		}
		return "", lapsed, refused
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

func isScenarioEntry(object string) bool { return strings.HasPrefix(object, scenarioPrefix) }
