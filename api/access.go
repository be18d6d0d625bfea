package api

import (
	"context"
	"fmt"
	"net/http"
	"reflect"
	"time"

	"kerfbook/api/service"
)

// TokenRequest asks for a token.
type TokenRequest struct {
	Name      string      `book:"name,required"`
	Scopes    []scopeWord `book:"scopes,required"`
	ExpiresAt instant     `book:"expires_at"` // never if absent
}

// scopeWord is a scope as it is written.
type scopeWord string

// Values lists the scopes.
func (scopeWord) Values() []string { return service.AllScopes.Names() }

// instant is a time as it is written: RFC 3339 in UTC.
type instant string

// CheckText refuses what is no instant in UTC.
func (instant) CheckText(text string, _ bool) error {
	if _, err := time.Parse("2006-01-02T15:04:05Z", text); err != nil {
		return fmt.Errorf("write an instant in UTC such as 2027-01-31T12:00:00Z")
	}
	return nil
}

// tokenOut is a token without its secret.
type tokenOut struct {
	ID         string     `json:"id"`
	Name       string     `json:"name"`
	Last4      string     `json:"last4" doc:"The last characters of the secret, to tell tokens apart"`
	Scopes     []string   `json:"scopes"`
	CreatedAt  time.Time  `json:"created_at"`
	ExpiresAt  *time.Time `json:"expires_at,omitempty"`
	LastUsedAt *time.Time `json:"last_used_at,omitempty"`
	RevokedAt  *time.Time `json:"revoked_at,omitempty"`
}

// newToken is a token with its secret, shown once.
type newToken struct {
	Secret string   `json:"secret" doc:"Keep it: it is not stored and cannot be shown again"`
	Token  tokenOut `json:"token"`
}

type tokenList struct {
	Items []tokenOut `json:"items"`
}

type tokenID struct {
	ID string `path:"id" maxLength:"100"`
}

func (a *API) accessRoutes() {
	add(a, route{method: http.MethodGet, path: Base + "/tokens", id: "list-tokens", tag: "access", scope: service.Admin,
		summary: "All tokens, those revoked too", returns: answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[tokenList]())}}, a.tokens)
	add(a, route{method: http.MethodPost, path: Base + "/tokens", id: "create-token", tag: "access", scope: service.Admin,
		summary: "Make a token; its secret is shown once",
		body:    &body{schema: a.schemas.Read(reflect.TypeFor[TokenRequest]()), types: onlyJSON, limit: a.edge.Config.BodyLimit},
		returns: answerForm{status: 201, schema: a.schemas.Wire(reflect.TypeFor[newToken]())}}, reading(a.createToken))
	add(a, route{method: http.MethodDelete, path: Base + "/tokens/{id}", id: "revoke-token", tag: "access", scope: service.Admin,
		summary: "End a token at once", about: "A token has one state to change and never changes back, so no version is named.",
		returns: answerForm{status: 204}}, a.revokeToken)
}

func (a *API) tokens(ctx context.Context, c *call, _ *none) (*reply, error) {
	all, err := a.service.Tokens(ctx)
	if err != nil {
		return nil, err
	}
	out := tokenList{Items: []tokenOut{}}
	for _, t := range all {
		out.Items = append(out.Items, tokenWire(t))
	}
	return c.ok(http.StatusOK, out)
}

func (a *API) createToken(ctx context.Context, c *call, in TokenRequest) (*reply, error) {
	names := make([]string, len(in.Scopes))
	for i, s := range in.Scopes {
		names[i] = string(s)
	}
	scopes, err := service.ParseScopes(names)
	if err != nil {
		return nil, err
	}
	expires, _ := time.Parse(time.RFC3339, string(in.ExpiresAt)) // checked as it was read; the zero time if absent
	secret, token, err := a.service.CreateToken(ctx, c.actor, in.Name, scopes, expires)
	if err != nil {
		return nil, err
	}
	return c.ok(http.StatusCreated, newToken{secret, tokenWire(token)})
}

func (a *API) revokeToken(ctx context.Context, c *call, in *tokenID) (*reply, error) {
	if err := a.service.RevokeToken(ctx, c.actor, in.ID); err != nil {
		return nil, err
	}
	return nothing()
}

func tokenWire(t service.Token) tokenOut {
	return tokenOut{ID: t.ID, Name: t.Name, Last4: t.Last4, Scopes: t.Scopes.Names(), CreatedAt: t.Created.UTC(),
		ExpiresAt: instantOf(t.Expires), LastUsedAt: instantOf(t.LastUsed), RevokedAt: instantOf(t.Revoked)}
}

// instantOf gives nil for a time that is not set.
func instantOf(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	u := t.UTC()
	return &u
}
