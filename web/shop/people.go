package shop

import (
	"errors"
	"strings"

	"github.com/go-chi/chi/v5"

	"kerfbook/api/answer"
	"kerfbook/api/service"
	"kerfbook/web/frame"
)

// peopleBody is the part of the page about people.
type peopleBody struct {
	People []personRow
	Person frame.Field // name of a new one
	Role   frame.Field
	Link   *madeLink
}

// personRow is one person with the form that changes them.
type personRow struct {
	ID, Name   string
	NameField  frame.Field
	Role       frame.Field
	Out        bool
	Error, Now string // what was wrong with the form; their role in words
}

// madeLink is a sign-in link, which is shown once.
type madeLink struct{ Name, Address string }

var roleWords = []frame.Option{
	{Value: string(service.AllRights), Label: "all: everything"},
	{Value: string(service.QuoteOnly), Label: "quotes: may quote without seeing cost"},
}

func peopleShown(c *frame.Call, link *madeLink, found frame.Problems) (peopleBody, error) {
	people, err := c.Site.Service.People(c.R.Context())
	body := peopleBody{Link: link, Person: frame.Field{Name: "person", Label: "Name", Hint: "As the history is to call them.", Error: found.Of("person")}, Role: frame.Field{Name: "role", Label: "Role"}}
	body.Role.Offer(roleWords, string(service.QuoteOnly))
	if !found.Empty() {
		body.Person.Value = c.Form("person")
		body.Role.Offer(roleWords, c.Form("role"))
	}
	for _, p := range people {
		row := personRow{ID: p.ID, Name: p.Name, Out: !p.ShutOut.IsZero(), Error: found.Of("person-" + p.ID),
			NameField: frame.Field{Name: "person-" + p.ID, Context: p.Name + ": ", Label: "Name", Value: p.Name}, Role: frame.Field{Name: "role-" + p.ID, Context: p.Name + ": ", Label: "Role"}}
		row.Role.Offer(roleWords, string(p.Role))
		for _, r := range roleWords {
			if r.Value == string(p.Role) {
				row.Now = r.Label
			}
		}
		body.People = append(body.People, row)
	}
	return body, err
}

// addPerson adds a person and shows the link that signs them in.
func addPerson(c *frame.Call) error {
	name := strings.TrimSpace(c.Form("person"))
	if _, err := c.Site.Service.SetPerson(c.R.Context(), c.Actor, "", name, service.Role(c.Form("role")), false); err != nil {
		return personFault(c, "person", err)
	}
	return showLink(c, name)
}

// changePerson gives a person another name or role, shuts them out or lets them in again.
func changePerson(c *frame.Call) error {
	id := chi.URLParam(c.R, "id")
	out := c.Form("do") == "out"
	if c.Form("do") == "save" {
		out = c.Form("out") != ""
	}
	name := strings.TrimSpace(c.Form("person-" + id))
	if _, err := c.Site.Service.SetPerson(c.R.Context(), c.Actor, id, name, service.Role(c.Form("role-"+id)), out); err != nil {
		return personFault(c, "person-"+id, err)
	}
	return c.LeadTo("/shop", "person")
}

// linkPerson makes a link for a person.
func linkPerson(c *frame.Call) error {
	people, err := c.Site.Service.People(c.R.Context())
	for _, p := range people {
		if p.ID == chi.URLParam(c.R, "id") {
			return showLink(c, p.Name)
		}
	}
	if err == nil {
		err = noSuchPage("there is no such person")
	}
	return err
}

func showLink(c *frame.Call, name string) error {
	secret, err := c.Site.Service.NewLinkFor(c.R.Context(), c.Actor, name)
	if err != nil {
		return err
	}
	scheme := "http://"
	if c.Site.Edge.Config.TLS {
		scheme = "https://"
	}
	return showShop(c, shopBody{peopleBody: peopleBody{Link: &madeLink{name, scheme + c.R.Host + frame.SignInPath(secret)}}}, nil)
}

// personFault shows what was wrong beside the form it was typed in.
func personFault(c *frame.Call, field string, err error) error {
	var known *answer.Error
	if !errors.As(err, &known) || known.Code != answer.Invalid && known.Code != answer.Exists {
		return err
	}
	var found frame.Problems
	found.Add(field, known.Message)
	return showShop(c, shopBody{}, found)
}
