package shop

import (
	"slices"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/web/frame"
)

// shopBody is who may do what: people and tokens, and forms for new ones.
type shopBody struct {
	peopleBody
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
	{Value: "admin", Label: "admin: let people in, make and revoke tokens"},
	{Value: "prices", Label: "prices: look at prices asked and quotes, at no cost"},
}

func shopPage(c *frame.Call) error { return showShop(c, shopBody{}, nil) }

// showShop shows the page with what was just made and what was wrong with a form of it.
func showShop(c *frame.Call, body shopBody, found frame.Problems) error {
	tokens, err := c.Site.Service.Tokens(c.R.Context())
	if err == nil {
		body.peopleBody, err = peopleShown(c, body.Link, found)
	}
	if err != nil {
		return err
	}
	body.ScopeError, body.Scopes = found.Of("scopes"), slices.Clone(scopeWords)
	body.Name = frame.Field{Name: "name", Label: "Name", Hint: "What uses it, such as nightly export.", Error: found.Of("name"), Wide: true}
	body.Expires = frame.Field{Name: "expires", Label: "Last day", Hint: "Such as 2027-06-30. Empty means that it does not expire.", Error: found.Of("expires")}
	if body.Made == nil && c.R.URL.Path == "/tokens" {
		body.Name.Value, body.Expires.Value = c.Form("name"), c.Form("expires")
		for i := range body.Scopes {
			body.Scopes[i].Chosen = slices.Contains(c.R.PostForm["scopes"], body.Scopes[i].Value)
		}
	}
	for _, t := range tokens {
		body.Rows = append(body.Rows, tokenRow{t.ID, t.Name, t.Last4, t.Scopes.String(), frame.Moment(t.Expires), frame.Moment(t.LastUsed), !t.Revoked.IsZero()})
	}
	p := c.Page("shop", "Who may do what", &body)
	p.Problems, p.Secret = found, body.Made != nil || body.Link != nil
	return c.Show("shop", p)
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
		return showShop(c, shopBody{}, found)
	}
	secret, t, err := c.Site.Service.CreateToken(c.R.Context(), c.Actor, name, scopes, expires)
	switch answer.CodeOf(err) {
	case answer.Invalid, answer.Exists:
		return showShop(c, shopBody{}, frame.FaultsOf(err, "name", "Name: "))
	}
	if err != nil {
		return err
	}
	return showShop(c, shopBody{Made: &madeToken{t.Name, secret}}, nil)
}

// revokeToken ends a token at once.
func revokeToken(c *frame.Call) error {
	if err := c.Site.Service.RevokeToken(c.R.Context(), c.Actor, chi.URLParam(c.R, "id")); err != nil {
		return err
	}
	return c.LeadTo("/shop", "revoked")
}
