package shop

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/web/frame"
)

// tokensBody lists tokens and makes new ones.
type tokensBody struct {
	Rows       []tokenRow
	Made       *madeToken
	Name       frame.Field
	Expires    frame.Field
	Scopes     []frame.Option
	ScopeError string
}

// tokenRow is one token.
type tokenRow struct {
	ID, Name, Last, Scopes, Expires, Used string
	Revoked                               bool
}

// madeToken is a new token with its secret, which is shown once.
type madeToken struct{ Name, Secret string }

var scopeWords = []frame.Option{
	{Value: "read", Label: "read: look at figures, records and quotes", Chosen: true},
	{Value: "write", Label: "write: change the book"},
	{Value: "quote", Label: "quote: issue, revise and withdraw quotes"},
	{Value: "admin", Label: "admin: make and revoke tokens"},
}

func tokens(c *frame.Call) error { return showTokens(c, nil, nil) }

func showTokens(c *frame.Call, made *madeToken, found frame.Problems) error {
	tokens, err := c.Site.Service.Tokens(c.R.Context())
	if err != nil {
		return err
	}
	body := tokensBody{Made: made, ScopeError: found.Of("scopes"), Scopes: slices.Clone(scopeWords),
		Name:    frame.Field{Name: "name", Label: "Name", Hint: "What uses it, such as nightly export.", Error: found.Of("name"), Wide: true},
		Expires: frame.Field{Name: "expires", Label: "Last day", Hint: "Such as 2027-06-30. Empty means that it does not expire.", Error: found.Of("expires")},
	}
	if made == nil && c.R.Method == http.MethodPost {
		body.Name.Value, body.Expires.Value = c.Form("name"), c.Form("expires")
		for i := range body.Scopes {
			body.Scopes[i].Chosen = slices.Contains(c.R.PostForm["scopes"], body.Scopes[i].Value)
		}
	}
	for _, t := range tokens {
		body.Rows = append(body.Rows, tokenRow{t.ID, t.Name, t.Last4, t.Scopes.String(), frame.Moment(t.Expires), frame.Moment(t.LastUsed), !t.Revoked.IsZero()})
	}
	p := c.Page("tokens", "Tokens", &body)
	p.Problems, p.Secret = found, made != nil
	return c.Show("tokens", p)
}

// makeToken makes a token and shows its secret once.
func makeToken(c *frame.Call) error {
	var found frame.Problems
	name := strings.TrimSpace(c.Form("name"))
	if name == "" {
		found.Add("name", "Name: enter what the token is for")
	}
	scopes, err := service.ParseScopes(c.R.PostForm["scopes"])
	if err != nil || scopes == 0 {
		found.Add("scopes", "What it may do: choose at least one")
	}
	var expires time.Time
	if text := strings.TrimSpace(c.Form("expires")); text != "" {
		last, err := c.Style.Day(text)
		day, _ := time.Parse(time.DateOnly, string(last))
		expires = day.AddDate(0, 0, 1)
		if err != nil || !expires.After(c.Site.Edge.Config.Now()) {
			found.Add("expires", "Last day: enter a day to come, such as "+c.Style.ShowDay("2027-06-30"))
		}
	}
	if !found.Empty() {
		return showTokens(c, nil, found)
	}
	secret, t, err := c.Site.Service.CreateToken(c.R.Context(), c.Actor, name, scopes, expires)
	switch answer.CodeOf(err) {
	case answer.Invalid, answer.Exists:
		return showTokens(c, nil, frame.FaultsOf(err, "name", "Name: "))
	}
	if err != nil {
		return err
	}
	return showTokens(c, &madeToken{t.Name, secret}, nil)
}

// revokeToken ends a token at once.
func revokeToken(c *frame.Call) error {
	if err := c.Site.Service.RevokeToken(c.R.Context(), c.Actor, chi.URLParam(c.R, "id")); err != nil {
		return err
	}
	return c.LeadTo("/tokens", "revoked")
}
