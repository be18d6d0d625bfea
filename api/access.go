package api

import (
	"context"
	"fmt"
	"net/http"
	"reflect"
	"time"

	"kerfbook/api/edge"
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
func (scopeWord) Values() []string { return service.ScopeNames() }

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

// PersonRequest adds a person or changes one.
type PersonRequest struct {
	Name    string   `book:"name,required"`
	Role    roleWord `book:"role,required"`
	ShutOut bool     `book:"shut_out"`
}

// roleWord is a role as it is written.
type roleWord string

// Values lists the roles.
func (roleWord) Values() []string {
	return []string{string(service.AllRights), string(service.QuoteOnly)}
}

// personOut is a person.
type personOut struct {
	ID        string     `json:"id"`
	Name      string     `json:"name" doc:"As the history calls them"`
	Role      string     `json:"role" enum:"all,quotes"`
	CreatedAt time.Time  `json:"created_at"`
	ShutOutAt *time.Time `json:"shut_out_at,omitempty" doc:"Since when they can do nothing; absent for who is let in"`
}

type personList struct {
	Items []personOut `json:"items"`
}

// newLink signs a person in.
type newLink struct {
	Secret    string    `json:"secret" doc:"To be typed on the sign-in page; it works once and is not shown again"`
	ExpiresAt time.Time `json:"expires_at"`
}

type personID struct {
	ID string `path:"id" maxLength:"100"`
}

func (a *API) peopleRoutes() {
	read := &body{schema: a.schemas.Read(reflect.TypeFor[PersonRequest]()), types: onlyJSON, limit: a.edge.Config.BodyLimit}
	one := answerForm{status: 200, schema: a.schemas.Wire(reflect.TypeFor[personOut]())}
	of := func(method, path, id, summary string) route {
		return route{method: method, path: Base + "/people" + path, id: id, tag: "access", scope: service.Admin, summary: summary, returns: one}
	}
	list := of(http.MethodGet, "", "list-people", "Everybody, those shut out too")
	list.returns.schema = a.schemas.Wire(reflect.TypeFor[personList]())
	add(a, list, a.people)
	added := of(http.MethodPost, "", "add-person", "Add a person: all may do everything, quotes may quote without seeing cost")
	added.body, added.returns.status = read, http.StatusCreated
	add(a, added, func(ctx context.Context, c *call, _ *none) (*reply, error) {
		return a.setPerson(ctx, c, "", http.StatusCreated)
	})
	changed := of(http.MethodPut, "/{id}", "change-person", "Give a person another name or role, shut them out or let them in")
	changed.body, changed.about = read, "It says all of the person, so no version is named. The last person with all rights keeps them."
	add(a, changed, func(ctx context.Context, c *call, in *personID) (*reply, error) {
		return a.setPerson(ctx, c, in.ID, http.StatusOK)
	})
	link := of(http.MethodPost, "/{id}/link", "link-person", "Make what signs a person in, once, within 15 minutes")
	link.returns = answerForm{status: 201, schema: a.schemas.Wire(reflect.TypeFor[newLink]())}
	add(a, link, a.linkPerson)
}

func (a *API) people(ctx context.Context, c *call, _ *none) (*reply, error) {
	all, err := a.service.People(ctx)
	if err != nil {
		return nil, err
	}
	out := personList{Items: []personOut{}}
	for _, p := range all {
		out.Items = append(out.Items, personWire(p))
	}
	return c.ok(http.StatusOK, out)
}

func (a *API) setPerson(ctx context.Context, c *call, id string, status int) (*reply, error) {
	in, err := decode[PersonRequest](c)
	if err != nil {
		return nil, err
	}
	p, err := a.service.SetPerson(ctx, c.actor, id, in.Name, service.Role(in.Role), in.ShutOut)
	if err != nil {
		return nil, err
	}
	return c.ok(status, personWire(p))
}

func (a *API) linkPerson(ctx context.Context, c *call, in *personID) (*reply, error) {
	all, err := a.service.People(ctx)
	if err != nil {
		return nil, err
	}
	for _, p := range all {
		if p.ID != in.ID {
			continue
		}
		secret, err := a.service.NewLinkFor(ctx, c.actor, p.Name)
		if err != nil {
			return nil, err
		}
		return c.ok(http.StatusCreated, newLink{secret, a.edge.Config.Now().Add(service.LinkLife).UTC()})
	}
	return nil, &edge.Refusal{Kind: edge.NotFound, Detail: "there is no such person"}
}

func personWire(p service.Person) personOut {
	return personOut{ID: p.ID, Name: p.Name, Role: string(p.Role), CreatedAt: p.Created.UTC(), ShutOutAt: instantOf(p.ShutOut)}
}

func (a *API) accessRoutes() {
	a.peopleRoutes()
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
