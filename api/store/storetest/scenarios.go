package storetest

import (
	"strings"
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/answer/change"
	"kerfbook/api/service"
)

// scenarios keeps changes under a name, opens them from another server, gives them another
// name, takes them over and forgets them; each is in the log.
func scenarios(t *testing.T, b *bench) {
	book := b.demo(t)
	ctx, s := t.Context(), b.service
	req := service.ScenarioRequest{Name: "dearer mill", Batch: "glow=100", Day: "2026-11-25", Changes: []change.Change{{Key: "work-centre/MILL/labour-rate", Value: "41.50"}, {Key: "part/HS-010/op/20/setup-time", Value: "30"}}}
	made, err := s.KeepScenario(ctx, maker, req, "")
	if err != nil || len(made.Changes) != 2 || made.Changes[0].Was != "26" || made.Changes[0].Place != "book/work_centres/MILL/labour_rate_per_h" {
		t.Fatalf("%+v, %v", made, err)
	}
	_, err = s.KeepScenario(ctx, maker, req, "")
	wantCode(t, err, answer.VersionMissing)
	_, err = s.KeepScenario(ctx, maker, req, "old")
	wantCode(t, err, answer.Conflict)
	for _, name := range []string{"", " x", "line\n", strings.Repeat("x", 81)} {
		_, err := s.KeepScenario(ctx, maker, service.ScenarioRequest{Name: name, Batch: "glow=100", Day: "2026-11-25", Changes: req.Changes}, "")
		wantCode(t, err, answer.Invalid)
	}
	_, err = s.KeepScenario(ctx, service.Actor{Name: "reader", Scopes: service.Read}, req, made.Version)
	wantCode(t, err, answer.Forbidden)

	other := b.server(t)
	found, err := other.Scenario(ctx, "dearer mill")
	if err != nil || found.Version != made.Version || found.KeptBy != "maker" || !found.KeptAt.Equal(b.clock.Now().Truncate(1000)) {
		t.Errorf("%+v, %v", found, err)
	}
	renamed, err := other.RenameScenario(ctx, maker, "dearer mill", "wages of spring", made.Version)
	if err != nil || renamed.Name != "wages of spring" || len(renamed.Changes) != 2 {
		t.Fatalf("%+v, %v", renamed, err)
	}
	if list, err := s.Scenarios(ctx); err != nil || len(list) != 1 || list[0].Name != "wages of spring" {
		t.Errorf("%+v, %v", list, err)
	}
	_, err = s.Scenario(ctx, "dearer mill")
	wantCode(t, err, answer.NotFound)

	before := b.verified(t).Entries
	now, _, err := s.Book(ctx)
	if err != nil {
		t.Fatal(err)
	}
	mix, err := answer.ParseMix(now, "glow=100")
	if err != nil {
		t.Fatal(err)
	}
	_, _, err = s.TakeOver(ctx, maker, mix, "2026-11-25", "wages of spring", "old")
	wantCode(t, err, answer.Conflict)
	if _, lapsed, err := s.TakeOver(ctx, maker, mix, "2026-11-25", "wages of spring", book); err != nil || len(lapsed) != 0 {
		t.Errorf("%+v, %v", lapsed, err)
	}
	if after := b.verified(t).Entries; after != before+2 {
		t.Errorf("%d entries for two records", after-before)
	}
	_, lapsed, err := s.TakeOver(ctx, maker, mix, "2026-11-25", "wages of spring", answer.AnyVersion)
	wantCode(t, err, answer.Invalid)
	if len(lapsed) != 2 || lapsed[0].Why != "the book says so already" {
		t.Errorf("%+v", lapsed)
	}
	for _, c := range []struct{ change, back string }{
		{"UPDATE scenarios SET kept_by = 'x'", "UPDATE scenarios SET kept_by = 'maker'"},
		{"UPDATE scenarios SET name = 'x'", "UPDATE scenarios SET name = 'wages of spring'"},
	} {
		if err := b.store.Behind(c.change); err != nil {
			t.Fatal(err)
		}
		if report, err := s.VerifyLog(ctx); err != nil || len(report.Faults) == 0 || !strings.HasPrefix(report.Faults[0].Object, "scenarios/") {
			t.Errorf("%s: %+v, %v", c.change, report, err)
		}
		if err := b.store.Behind(c.back); err != nil {
			t.Fatal(err)
		}
	}
	wantCode(t, s.RemoveScenario(ctx, maker, "wages of spring", "old"), answer.Conflict)
	if err := s.RemoveScenario(ctx, maker, "wages of spring", renamed.Version); err != nil {
		t.Error(err)
	}
	wantCode(t, s.RemoveScenario(ctx, maker, "wages of spring", renamed.Version), answer.NotFound)
	b.verified(t)
}
