package service

import (
	"encoding/hex"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"kerfbook/api/answer"
)

// TestChain holds the chain against two hashes computed elsewhere.
func TestChain(t *testing.T) {
	t.Parallel()
	first := chain(make([]byte, 32), []byte(`{"a":1}`))
	if got := hex.EncodeToString(first); got != "b06a229070741292512e8760f470dd7a4c46ccfdf253df781d88dabe58c1ccb1" {
		t.Errorf("the first hash is %s", got)
	}
	if got := hex.EncodeToString(chain(first, []byte(`{"b":2}`))); got != "0b2395e34f7bf5a93f849ba24bfd4e0f93b573e468c754894ad38a08222b0f82" {
		t.Errorf("the second hash is %s", got)
	}
}

func TestCanonicalEntry(t *testing.T) {
	t.Parallel()
	e := LogEntry{Seq: 7, At: time.Date(2026, 11, 25, 10, 0, 0, 1000, time.UTC), Actor: "Zé \"\\/<&>\u2028\x01\b\t\n\f\r\x7f🔩", Action: "put", Object: "parts/A@1", After: "ff"}
	want := `{"action":"put","actor":"Zé \"\\/<&>` + "\u2028" + `\u0001\b\t\n\f\r` + "\x7f" + `🔩","after":"ff","at":1795600800000001,"before":"","object":"parts/A@1","seq":7}`
	if got := string(e.canonical()); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	var back map[string]any
	if err := json.Unmarshal(e.canonical(), &back); err != nil || back["actor"] != e.Actor {
		t.Errorf("read back: %v, %v", back, err)
	}
}

// bits gives the same bytes for ever.
type bits byte

func (b bits) Read(into []byte) (int, error) {
	for i := range into {
		into[i] = byte(b)
	}
	return len(into), nil
}

func TestSecrets(t *testing.T) {
	t.Parallel()
	for _, fill := range []byte{0, 1, 0xff} {
		s := &Service{random: bits(fill)}
		secret, err := s.newSecret()
		if err != nil || len(secret) != 43 || strings.Trim(secret, "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz") != "" {
			t.Errorf("secret %q, %v", secret, err)
		}
		token := tokenText(secret)
		if !isToken(token) || len(token) != 52 {
			t.Errorf("%q is no token", token)
		}
		for i := range token {
			flipped := token[:i] + string('0'+(token[i]-'0'+1)%10) + token[i+1:]
			if flipped != token && isToken(flipped) {
				t.Errorf("%q passes for a token", flipped)
			}
		}
	}
	if _, err := (&Service{random: strings.NewReader("too short")}).newSecret(); err == nil {
		t.Error("a secret of 9 bytes was made")
	}
}

func TestScopes(t *testing.T) {
	t.Parallel()
	all, err := ParseScopes([]string{"read", "write", "quote", "admin"})
	if err != nil || all != AllScopes || all.String() != "read, write, quote, admin" || Scopes(0).String() != "" {
		t.Errorf("%s, %v", all, err)
	}
	if _, err := ParseScopes([]string{"root"}); answer.CodeOf(err) != answer.Invalid {
		t.Error(err)
	}
	for i, need := range []Scopes{Read, Write, Quote, Admin} {
		for j, have := range []Scopes{Read, Write, Quote, Admin} {
			if err := (Actor{Scopes: have}).need(need); (err == nil) != (i == j) {
				t.Errorf("%s where %s is needed: %v", have, need, err)
			}
		}
	}
}
