package storetest

import (
	"context"
	"slices"
	"strings"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

func (b *bench) link(t *testing.T) string {
	t.Helper()
	secret, err := b.service.NewSignInLink(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return secret
}

func linkOnce(t *testing.T, b *bench) {
	secret := b.link(t)
	other := b.link(t)
	errs := parallel(20, func(int) error {
		_, _, err := b.service.SignIn(t.Context(), secret)
		return err
	})
	wantCodes(t, errs, map[answer.Code]int{"": 1, answer.Gone: 19})
	if _, _, err := b.service.SignIn(t.Context(), other); err != nil {
		t.Errorf("another link: %v", err)
	}
	for _, bad := range []string{"", "x", strings.Repeat("x", 43)} {
		_, _, err := b.service.SignIn(t.Context(), bad)
		wantCode(t, err, answer.Unauthorized)
	}
}

func linksExpire(t *testing.T, b *bench) {
	early, late := b.link(t), b.link(t)
	b.clock.advance(15*time.Minute - time.Microsecond)
	if _, _, err := b.service.SignIn(t.Context(), early); err != nil {
		t.Errorf("just in time: %v", err)
	}
	b.clock.advance(time.Microsecond)
	_, _, err := b.service.SignIn(t.Context(), late)
	wantCode(t, err, answer.Gone)
}

func (b *bench) signIn(t *testing.T) string {
	t.Helper()
	s, cookie, err := b.service.SignIn(t.Context(), b.link(t))
	if err != nil || s.Name != "maker" || !s.Scopes.Has(service.AllScopes) {
		t.Fatalf("session %+v, %v", s, err)
	}
	return cookie
}

func sessionsExpire(t *testing.T, b *bench) {
	ctx := t.Context()
	alive := func(what, cookie string, want bool) {
		t.Helper()
		_, err := b.service.SessionOf(ctx, cookie)
		if want && err != nil {
			t.Errorf("%s: %v", what, err)
		}
		if !want {
			wantCode(t, err, answer.Unauthorized)
		}
	}
	idle, out := b.signIn(t), b.signIn(t)
	alive("fresh", idle, true)
	if err := b.service.SignOut(ctx, out); err != nil {
		t.Fatal(err)
	}
	alive("signed out", out, false)
	b.clock.advance(30*time.Minute - time.Microsecond)
	alive("just below 30 minutes", idle, true)
	b.clock.advance(30 * time.Minute)
	alive("idle for 30 minutes", idle, false)
	busy := b.signIn(t)
	for range 19 { // 7 h 55 min
		b.clock.advance(25 * time.Minute)
		alive("in use", busy, true)
	}
	b.clock.advance(5*time.Minute - time.Microsecond)
	alive("just below 8 hours", busy, true)
	b.clock.advance(time.Microsecond)
	alive("8 hours", busy, false)
	alive("no cookie", "", false)
	alive("an invented cookie", strings.Repeat("a", 43), false)
}

func tokens(t *testing.T, b *bench) {
	ctx := t.Context()
	make := func(name string, sc service.Scopes, expires time.Time) (string, service.Token) {
		t.Helper()
		secret, token, err := b.service.CreateToken(ctx, maker, name, sc, expires)
		if err != nil {
			t.Fatal(err)
		}
		return secret, token
	}
	secret, token := make("script", service.Read|service.Quote, time.Time{})
	short, _ := make("short", service.Read, b.clock.Now().Add(time.Hour))
	got, _, err := b.service.TokenOf(ctx, secret)
	if err != nil || got.ID != token.ID || got.Scopes != service.Read|service.Quote || got.Actor().Name != "token script" || !got.LastUsed.Equal(b.clock.Now()) {
		t.Errorf("token %+v, %v", got, err)
	}
	if !strings.HasPrefix(secret, "kb_") || len(secret) != 3+43+6 || !strings.HasSuffix(secret, token.Last4) {
		t.Errorf("the form of %q", secret)
	}
	for _, bad := range []string{"", "kb_", secret[:len(secret)-1], secret + "0", "kb_" + strings.Repeat("0", 49), strings.ToUpper(secret), " " + secret} {
		_, _, err := b.service.TokenOf(ctx, bad)
		wantCode(t, err, answer.Unauthorized)
	}
	_, _, err = b.service.CreateToken(ctx, maker, "script", service.Read, time.Time{})
	wantCode(t, err, answer.Exists)
	for _, twin := range []string{"scri\u200bpt", "script\u2060", "\u202escript", "scri\u00adpt", "script\ufe0f", "script\u3164", "a\u00a0b", "a\u2028b"} {
		_, _, err = b.service.CreateToken(ctx, maker, twin, service.Read, time.Time{})
		wantCode(t, err, answer.Invalid)
	}
	_, _, err = b.service.CreateToken(ctx, service.Actor{Name: "w", Scopes: service.Write}, "x", service.Read, time.Time{})
	wantCode(t, err, answer.Forbidden)
	_, _, err = b.service.CreateToken(ctx, service.Actor{Name: "w", Scopes: service.Admin}, "x", service.Write, time.Time{})
	wantCode(t, err, answer.Forbidden)
	b.clock.advance(time.Hour)
	_, _, err = b.service.TokenOf(ctx, short)
	wantCode(t, err, answer.Unauthorized)
	if err := b.service.RevokeToken(ctx, maker, token.ID); err != nil {
		t.Fatal(err)
	}
	_, _, err = b.service.TokenOf(ctx, secret)
	wantCode(t, err, answer.Unauthorized)
	make("script", service.Read, time.Time{}) // the name is free again
	list, err := b.service.Tokens(ctx)
	valid := slices.DeleteFunc(slices.Clone(list), func(t service.Token) bool { return !t.Revoked.IsZero() })
	if err != nil || len(list) != 3 || len(valid) != 2 {
		t.Errorf("tokens %+v, %v", list, err)
	}
	b.verified(t)
}

// hashesOnly looks for secrets in everything the store gives back.
func hashesOnly(t *testing.T, b *bench) {
	ctx := t.Context()
	link := b.link(t)
	_, cookie, err := b.service.SignIn(ctx, link)
	if err != nil {
		t.Fatal(err)
	}
	secret, token, err := b.service.CreateToken(ctx, maker, "script", service.Read, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	b.view(t, func(ctx context.Context, tx service.Tx) error {
		return tx.Log().Each(ctx, func(e service.LogEntry) error {
			text := e.Actor + e.Action + e.Object + e.Before + e.After
			for _, s := range []string{link, cookie, secret, secret[3:46]} {
				if strings.Contains(text, s) {
					t.Errorf("entry %d of the log holds a secret", e.Seq)
				}
			}
			return nil
		})
	})
	b.view(t, func(ctx context.Context, tx service.Tx) error {
		stored, err := tx.Access().Token(ctx, token.ID)
		if len(stored.Hash) != 32 || strings.Contains(string(stored.Hash), secret[3:20]) {
			t.Errorf("of the token is kept %x", stored.Hash)
		}
		return err
	})
}
