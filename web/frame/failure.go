package frame

import (
	"net/http"
	"net/url"
	"strings"

	"kerfbook/api/edge"
	"kerfbook/api/service"
)

// errorBody is the page of an error.
type errorBody struct {
	Title, Detail, Help string
	Back                string // address of the page that sent what failed
	Fields              []string
	RequestID           string
}

// tell writes a failure as a page.
func (s *Site) tell(w http.ResponseWriter, r *http.Request, f edge.Failure) {
	body := errorBody{Title: f.Kind.Title(), Detail: f.Detail, Help: advice(f.Kind), Back: cameFrom(r), RequestID: edge.RequestOf(r.Context()).ID}
	if f.Kind == edge.Forbidden {
		body.Title = "This is closed to you"
	}
	for _, one := range f.Fields {
		text := one.Detail
		if one.Path != "" {
			text = one.Path + ": " + text
		}
		body.Fields = append(body.Fields, text)
	}
	f.Headers(w.Header())
	actor, signedIn, _ := s.who(r) // what cannot be told is shown as signed out
	p := Page{Title: "Error: " + body.Title, SignedIn: signedIn, Costs: actor.Scopes.Has(service.Read), Body: body}
	if err := s.show(w, r, f.Kind.Status(), "error", p); err != nil {
		http.Error(w, f.Kind.Title(), f.Kind.Status())
	}
}

// Advices say what a person in front of a page can do. What programs are told
// speaks of headers and bodies.
var Advices = map[edge.Kind]string{
	edge.BadRequest:       "Put it right as said above, then do it again.",
	edge.Invalid:          "Put it right as said above, then do it again.",
	edge.Unauthorized:     "Sign in, then do it again.",
	edge.Forbidden:        "Your sign-in does not allow this; the other pages are there as before.",
	edge.CrossOrigin:      "It was sent by a page of another site, so nothing was done. Open the page here and do it from there.",
	edge.NotThroughProxy:  "Nothing was done. Open the public address of these pages.",
	edge.NotFound:         "The address is wrong, or what it led to was removed. The lists show what there is.",
	edge.MethodNotAllowed: "This address takes what a form sends and is no page to open. Go to the page the form is on.",
	edge.VersionConflict:  "Someone changed this meanwhile, and nothing was done. Look at what is there now, then do it again.",
	edge.VersionMissing:   "The form does not say which state of the book you saw, and nothing was done. Open the page anew, then do it again.",
	edge.Exists:           "Take another name, or look at what is there and change it.",
	edge.WrongState:       "This step cannot follow on where it stands now. Doing it again does not help.",
	edge.KeyMissing:       "The form is not complete, and nothing was done. Open the page anew, then do it again.",
	edge.KeyReused:        "This form was sent before with other content. Open the page anew, then do it again.",
	edge.Gone:             "What it led to was there and is spent or withdrawn.",
	edge.TooLarge:         "Leave out what is not needed, or send it in parts.",
	edge.MediaType:        "What was sent is no form of these pages.",
	edge.TooMany:          "Wait a minute, then do it again.",
	edge.Unverified:       "Look at the rows named above. Enter their sources or new prices, or confirm that they are to be used all the same.",
	edge.Incomplete:       "Enter what is named above, with 0 if it costs nothing.",
	edge.FiguresChanged:   "The figures are no longer those you saw, and nothing was done. Look at the new ones, then do it again.",
	edge.Internal:         "This is a fault of the server. Look whether it was done before you do it again. The request below finds the reason in the server's log.",
	edge.Busy:             "Nothing was done. Do it again in a moment.",
	edge.NoSpace:          "Nothing was done. Whoever looks after the server has to free room on its disk; then do it again.",
	edge.StoreFailed:      "Nothing was done. Whoever looks after the server finds the reason in its log.",
	edge.OutcomeUnknown:   "Look whether it was done before you do it again. Whoever looks after the server finds the reason in its log.",
	edge.Unavailable:      "The server is starting, stopping or cannot reach its store. Do it again in a moment.",
}

// advice falls back on what holds after any failure.
func advice(k edge.Kind) string {
	if text, ok := Advices[k]; ok {
		return text
	}
	return "Look at what is there now before you do it again."
}

// cameFrom gives the page of this site whose form was sent, empty where the
// browser does not say.
func cameFrom(r *http.Request) string {
	from, err := url.Parse(r.Referer())
	if r.Method != http.MethodPost || err != nil || from.Host != r.Host || !strings.HasPrefix(from.Path, "/") || strings.HasPrefix(from.Path, "//") {
		return ""
	}
	return (&url.URL{Path: from.Path, RawPath: from.RawPath, RawQuery: from.RawQuery}).String()
}
