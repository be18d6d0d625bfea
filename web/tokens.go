package web

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

// tokensBody lists tokens and makes new ones.
type tokensBody struct {
	Rows       []tokenRow
	Made       *madeToken
	Name       field
	Expires    field
	Scopes     []option
	ScopeError string
}

// tokenRow is one token.
type tokenRow struct {
	ID, Name, Last, Scopes, Expires, Used string
	Revoked                               bool
}

// madeToken is a new token with its secret, which is shown once.
type madeToken struct{ Name, Secret string }

var scopeWords = []option{
	{Value: "read", Label: "read: look at figures, records and quotes", Chosen: true},
	{Value: "write", Label: "write: change the book"},
	{Value: "quote", Label: "quote: issue, revise and withdraw quotes"},
	{Value: "admin", Label: "admin: make and revoke tokens"},
}

func tokens(c *call) error { return showTokens(c, nil, nil) }

func showTokens(c *call, made *madeToken, found problems) error {
	tokens, err := c.site.svc.Tokens(c.r.Context())
	if err != nil {
		return err
	}
	body := tokensBody{Made: made, ScopeError: found.of("scopes"), Scopes: slices.Clone(scopeWords),
		Name:    field{Name: "name", Label: "Name", Hint: "What uses it, such as nightly export.", Error: found.of("name"), Wide: true},
		Expires: field{Name: "expires", Label: "Last day", Hint: "Such as 2027-06-30. Empty means that it does not expire.", Error: found.of("expires")},
	}
	if made == nil && c.r.Method == http.MethodPost {
		body.Name.Value, body.Expires.Value = c.form("name"), c.form("expires")
		for i := range body.Scopes {
			body.Scopes[i].Chosen = slices.Contains(c.r.PostForm["scopes"], body.Scopes[i].Value)
		}
	}
	for _, t := range tokens {
		body.Rows = append(body.Rows, tokenRow{t.ID, t.Name, t.Last4, t.Scopes.String(), moment(t.Expires), moment(t.LastUsed), !t.Revoked.IsZero()})
	}
	p := c.page("tokens", "Tokens", &body)
	p.Problems, p.Secret = found, made != nil
	return c.show("tokens", p)
}

// makeToken makes a token and shows its secret once.
func makeToken(c *call) error {
	var found problems
	name := strings.TrimSpace(c.form("name"))
	if name == "" {
		found.add("name", "Name: enter what the token is for")
	}
	scopes, err := service.ParseScopes(c.r.PostForm["scopes"])
	if err != nil || scopes == 0 {
		found.add("scopes", "What it may do: choose at least one")
	}
	var expires time.Time
	if text := strings.TrimSpace(c.form("expires")); text != "" {
		day, err := time.Parse(time.DateOnly, text)
		expires = day.AddDate(0, 0, 1)
		if err != nil || !expires.After(c.site.edge.Config.Now()) {
			found.add("expires", "Last day: write a day to come as year-month-day, such as 2027-06-30")
		}
	}
	if !found.empty() {
		return showTokens(c, nil, found)
	}
	secret, t, err := c.site.svc.CreateToken(c.r.Context(), c.actor, name, scopes, expires)
	switch answer.CodeOf(err) {
	case answer.Invalid, answer.Exists:
		return showTokens(c, nil, faultsOf(err, "name", "Name: "))
	}
	if err != nil {
		return err
	}
	return showTokens(c, &madeToken{t.Name, secret}, nil)
}

// revokeToken ends a token at once.
func revokeToken(c *call) error {
	if err := c.site.svc.RevokeToken(c.r.Context(), c.actor, chi.URLParam(c.r, "id")); err != nil {
		return err
	}
	return c.leadTo("/tokens", "revoked")
}
