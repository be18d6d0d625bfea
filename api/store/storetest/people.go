package storetest

import (
	"strings"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

// set makes or changes a person who must be taken.
func (b *bench) set(t *testing.T, id, name string, role service.Role, out bool) service.Person {
	t.Helper()
	b.clock.advance(time.Second)
	p, err := b.service.SetPerson(t.Context(), maker, id, name, role, out)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// enter signs somebody in by a link for a name and gives the cookie.
func (b *bench) enter(t *testing.T, name string) (service.Session, string) {
	t.Helper()
	secret, err := b.service.NewLinkFor(t.Context(), maker, name)
	if err != nil {
		t.Fatal(err)
	}
	s, cookie, err := b.service.SignIn(t.Context(), secret)
	if err != nil {
		t.Fatal(err)
	}
	return s, cookie
}

// people come in by links of their own, with the rights of their role as it is at that moment.
func people(t *testing.T, b *bench) {
	ctx := t.Context()
	b.small(t)
	if s, _ := b.enter(t, ""); s.Name != "maker" || s.Person != "" {
		t.Errorf("a shop of one: %+v", s)
	}
	rita := b.set(t, "", "Rita", service.QuoteOnly, false)
	if s, _ := b.enter(t, ""); s.Name != "maker" {
		t.Errorf("nobody has all rights by name yet: %+v", s)
	}
	ana := b.set(t, "", "Ana", service.AllRights, false)
	if s, _ := b.enter(t, ""); s.Name != "Ana" || !s.Scopes.Has(service.AllScopes) {
		t.Errorf("the machine's link is not Ana's: %+v", s)
	}
	s, cookie := b.enter(t, "Rita")
	if s.Name != "Rita" || s.Person != rita.ID || s.Scopes.Has(service.Read) || !s.Scopes.Has(service.Prices|service.Quote) {
		t.Errorf("Rita: %+v", s)
	}
	_, err := b.service.PutRecord(ctx, s.Actor, "suppliers", "NEW", supplier("NEW", "x"), "")
	wantCode(t, err, answer.Forbidden)
	if err := b.service.May(ctx, s.Actor, service.Read); err == nil || !strings.Contains(err.Error(), "Ana can give you all rights") {
		t.Errorf("refused: %v", err)
	}
	b.set(t, rita.ID, "Rita Reis", service.AllRights, false)
	if s, err := b.service.SessionOf(ctx, cookie); err != nil || s.Name != "Rita Reis" || !s.Scopes.Has(service.AllScopes) {
		t.Errorf("with all rights from now on: %+v, %v", s, err)
	}
	if _, err := b.service.PutRecord(ctx, s.Actor, "suppliers", "NEW", supplier("NEW", "x"), ""); err == nil {
		t.Error("rights of before are taken from what was looked up before")
	}
	b.lastOne(t, ana, rita, cookie)
	b.verified(t)
}

// lastOne shuts out all but one with all rights, who stays.
func (b *bench) lastOne(t *testing.T, ana, rita service.Person, cookie string) {
	t.Helper()
	ctx := t.Context()
	spent, err := b.service.NewLinkFor(ctx, maker, "Rita Reis")
	if err != nil {
		t.Fatal(err)
	}
	b.set(t, rita.ID, "Rita Reis", service.AllRights, true)
	_, err = b.service.SessionOf(ctx, cookie)
	wantCode(t, err, answer.Unauthorized)
	_, _, err = b.service.SignIn(ctx, spent)
	wantCode(t, err, answer.Unauthorized)
	_, err = b.service.NewLinkFor(ctx, maker, "Rita Reis")
	wantCode(t, err, answer.Invalid)
	for _, c := range []struct {
		role service.Role
		out  bool
	}{{service.QuoteOnly, false}, {service.AllRights, true}} {
		if _, err := b.service.SetPerson(ctx, maker, ana.ID, "Ana", c.role, c.out); err == nil || !strings.Contains(err.Error(), "the last person with all rights") {
			t.Errorf("the last one with all rights, %+v: %v", c, err)
		}
	}
	b.set(t, rita.ID, "Rita Reis", service.QuoteOnly, false)
	if s, err := b.service.SessionOf(ctx, cookie); err != nil || s.Scopes.Has(service.Read) {
		t.Errorf("let in again: %+v, %v", s, err)
	}
	_, err = b.service.SetPerson(ctx, maker, "", "Ana", service.QuoteOnly, false)
	wantCode(t, err, answer.Exists)
	for _, bad := range []string{"", "maker", "Command Line", "token x", "A\u200bna"} {
		_, err = b.service.SetPerson(ctx, maker, "", bad, service.QuoteOnly, false)
		wantCode(t, err, answer.Invalid)
	}
	_, err = b.service.SetPerson(ctx, maker, "", "Zé", "owner", false)
	wantCode(t, err, answer.Invalid)
	_, err = b.service.SetPerson(ctx, maker, "nobody", "Zé", service.QuoteOnly, false)
	wantCode(t, err, answer.NotFound)
	_, err = b.service.SetPerson(ctx, service.Actor{Name: "r", Scopes: service.Prices | service.Quote}, "", "Zé", service.AllRights, false)
	wantCode(t, err, answer.Forbidden)
	_, err = b.service.NewLinkFor(ctx, service.Actor{Name: "r", Scopes: service.Read}, "Ana")
	wantCode(t, err, answer.Forbidden)
	people, err := b.service.People(ctx)
	if err != nil || len(people) != 2 || people[0].Name != "Rita Reis" || people[1].Name != "Ana" {
		t.Errorf("%+v, %v", people, err)
	}
}
