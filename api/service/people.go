package service

import (
	"context"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
	"time"

	"kerfbook/api/answer"
	"kerfbook/bom"
)

// Role is what a person may do in the shop.
type Role string

// The roles.
const (
	AllRights Role = "all"    // everything
	QuoteOnly Role = "quotes" // see prices asked, make, issue and see quotes; no cost
)

// Roles lists them.
func Roles() []Role { return []Role{AllRights, QuoteOnly} }

// Scopes are what a role may do.
func (r Role) Scopes() Scopes {
	switch r {
	case AllRights:
		return AllScopes
	case QuoteOnly:
		return Prices | Quote
	}
	return 0
}

// Person works in the shop and is known by name.
type Person struct {
	ID      string
	Name    string
	Role    Role
	Created time.Time
	ShutOut time.Time // zero: let in
}

// actor is the person as the change log names them.
func (p Person) actor() Actor {
	return Actor{Name: p.Name, Scopes: p.Role.Scopes(), Person: p.ID}
}

// content is the SHA-256 of what must not change about a person behind the log's back, in
// hex.
func (p Person) content() string {
	return hex.EncodeToString(hashOf(fmt.Appendf(nil, "%q %q %q %d %d", p.ID, p.Name, p.Role, micros(p.Created), micros(p.ShutOut))))
}

const personPrefix = "people/"

// ownNames are those of the log that are no person's.
var ownNames = []string{machineName, consoleName}

const (
	machineName = "maker"        // whoever has the machine, while nobody else has all rights
	consoleName = "command line" // the same at its command line
)

// People lists everybody, those shut out too, in the order they came.
func (s *Service) People(ctx context.Context) (out []Person, err error) {
	err = s.view(ctx, func(tx Tx) error {
		out, err = tx.Access().People(ctx)
		return err
	})
	return out, err
}

// SetPerson adds a person, if the id is empty, or gives one another name or role, shuts
// them out or lets them in again; out says which of the two. The last person with all
// rights keeps them.
func (s *Service) SetPerson(ctx context.Context, a Actor, id, name string, role Role, out bool) (p Person, err error) {
	if err := a.need(Admin); err != nil {
		return p, err
	}
	if err := plainName("the name of a person", name); err != nil {
		return p, err
	}
	if slices.Contains(ownNames, strings.ToLower(name)) || strings.HasPrefix(strings.ToLower(name), "token ") {
		return p, answer.Invalidf("%s is what the program calls itself or a token in the history; choose another name", name)
	}
	if !slices.Contains(Roles(), role) {
		return p, answer.Invalidf("%q is no role; there are all, and quotes for who may quote without seeing cost", bom.Shorten(string(role)))
	}
	fresh, err := s.newSecret()
	if err != nil {
		return p, err
	}
	err = s.Update(ctx, func(tx Tx) error {
		all, err := tx.Access().People(ctx)
		if err != nil {
			return err
		}
		p = Person{ID: fresh[:16], Created: s.clock()}
		before, action := "", fmt.Sprintf("add %s (%s)", name, role)
		if id != "" {
			i := slices.IndexFunc(all, func(o Person) bool { return o.ID == id })
			if i < 0 {
				return answer.Errorf(answer.NotFound, "there is no such person")
			}
			p = all[i]
			before, action = p.content(), moved(p, name, role, out)
		}
		if action == "" {
			return nil
		}
		was := p
		p.Name, p.Role = name, role
		switch {
		case !out:
			p.ShutOut = time.Time{}
		case p.ShutOut.IsZero():
			p.ShutOut = s.clock()
		}
		if full(was) && !full(p) && !slices.ContainsFunc(all, func(o Person) bool { return o.ID != p.ID && full(o) }) {
			return answer.Invalidf("%s is the last person with all rights; give them to somebody else first", was.Name)
		}
		if err := tx.Access().PutPerson(ctx, p); err != nil {
			return err
		}
		_, err = s.log(ctx, tx, a, action, personPrefix+p.ID, before, p.content())
		return err
	})
	return p, err
}

// full reports whether somebody is let in and may do everything.
func full(p Person) bool { return p.ID != "" && p.Role == AllRights && p.ShutOut.IsZero() }

// moved words what is done to a person; empty where nothing is.
func moved(p Person, name string, role Role, out bool) string {
	var did []string
	if name != p.Name {
		did = append(did, "rename "+p.Name+" to "+name)
	}
	if role != p.Role {
		did = append(did, fmt.Sprintf("give %s the role %s", name, role))
	}
	switch {
	case out && p.ShutOut.IsZero():
		did = append(did, "shut out "+name)
	case !out && !p.ShutOut.IsZero():
		did = append(did, "let in "+name+" again")
	}
	return strings.Join(did, ", ")
}

// linked finds whom a link is for by their name. Without a name it is for the first person
// with all rights, or for nobody by name while there is none.
func linked(ctx context.Context, tx Tx, name string) (Person, error) {
	all, err := tx.Access().People(ctx)
	i := slices.IndexFunc(all, func(p Person) bool { return name == "" && full(p) || name != "" && p.Name == name })
	switch {
	case err != nil || i < 0 && name == "":
		return Person{}, err
	case i < 0:
		return Person{}, answer.Errorf(answer.NotFound, "there is nobody called %s; kerfbook people lists who there is", bom.Shorten(name))
	case !all[i].ShutOut.IsZero():
		return Person{}, answer.Invalidf("%s is shut out; let them in again first", name)
	}
	return all[i], nil
}

// May refuses an actor without a scope, and says what they lack and who may grant it.
func (s *Service) May(ctx context.Context, a Actor, want Scopes) error {
	err := a.need(want)
	if err == nil || a.Person == "" {
		return err
	}
	people, other := s.People(ctx)
	if other != nil {
		return other
	}
	var names []string
	for _, p := range people {
		if full(p) {
			names = append(names, p.Name)
		}
	}
	who := "whoever looks after the server"
	if len(names) > 0 {
		who = strings.Join(names, " or ")
	}
	return answer.Errorf(answer.Forbidden, "your role, quotes, sees prices asked and quotes, and nothing that tells cost or changes the book; %s can give you all rights on the page of the shop", who)
}
