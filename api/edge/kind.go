package edge

import (
	"maps"
	"net/http"
	"slices"
)

// Kind is what went wrong, in words a program may rely on. A kind never changes
// its meaning; new ones may come.
type Kind string

// The kinds of failure.
const (
	BadRequest       Kind = "bad_request"
	Invalid          Kind = "invalid"
	Unauthorized     Kind = "unauthorized"
	Forbidden        Kind = "forbidden"
	CrossOrigin      Kind = "cross_origin"
	NotThroughProxy  Kind = "not_through_proxy"
	NotFound         Kind = "not_found"
	MethodNotAllowed Kind = "method_not_allowed"
	VersionConflict  Kind = "version_conflict"
	VersionMissing   Kind = "version_missing"
	Exists           Kind = "exists"
	WrongState       Kind = "wrong_state"
	KeyMissing       Kind = "idempotency_key_missing"
	KeyReused        Kind = "idempotency_key_reused"
	Gone             Kind = "gone"
	TooLarge         Kind = "too_large"
	MediaType        Kind = "media_type"
	TooMany          Kind = "too_many"
	Unverified       Kind = "unverified"
	Incomplete       Kind = "incomplete"
	FiguresChanged   Kind = "figures_changed"
	Internal         Kind = "internal"
	Busy             Kind = "busy"
	Unavailable      Kind = "unavailable"
	NoSpace          Kind = "no_space"
	StoreFailed      Kind = "store_failed"
	OutcomeUnknown   Kind = "outcome_unknown"
)

// kindInfo is what is told about a kind, always the same.
type kindInfo struct {
	status int
	title  string
	help   string // what to do about it
}

// kinds is the one table from failures to statuses.
var kinds = map[Kind]kindInfo{
	BadRequest: {http.StatusBadRequest, "The request cannot be read",
		"The form of the request is wrong: a parameter, a header or the syntax of the body. Correct it as the detail says; the same request will fail again."},
	Invalid: {http.StatusUnprocessableEntity, "The content does not hold",
		"The request can be read, but what it says cannot be taken. All faults are listed under errors, each with a JSON pointer into the body or the name of a parameter."},
	Unauthorized: {http.StatusUnauthorized, "Nobody is signed in",
		"Send a token that is neither expired nor revoked in the header Authorization: Bearer …, or sign in with a browser."},
	Forbidden: {http.StatusForbidden, "The scope is missing",
		"The token is good, but lacks the scope that the detail names. Ask whoever looks after the server for a token that has it."},
	CrossOrigin: {http.StatusForbidden, "The request comes from another site",
		"A browser sent this request for a page of another site, so nothing was done. Behind a proxy, pass the Host header on or state the public origin in the configuration."},
	NotThroughProxy: {http.StatusForbidden, "The request did not come through the proxy",
		"The server stands behind a proxy that ends TLS, and what comes past it may have crossed the network in the open, so nothing was done. Use the public address. If this came from the proxy, state its network in --behind-proxy."},
	NotFound: {http.StatusNotFound, "There is no such thing",
		"The address or what it names does not exist. Lists show what there is."},
	MethodNotAllowed: {http.StatusMethodNotAllowed, "The method does not apply here",
		"The header Allow lists the methods of this address."},
	VersionConflict: {http.StatusPreconditionFailed, "It was changed in the meantime",
		"Someone else made a change since the version that If-Match names. Nothing was done. Read the present state, see whether the change still makes sense, and send it with the new ETag."},
	VersionMissing: {http.StatusPreconditionRequired, "The version is missing",
		"A change is made to a version that was seen. Send If-Match with the ETag of the last answer, or If-None-Match: * to make something new."},
	Exists: {http.StatusConflict, "It exists already",
		"Something with this name is there. Take another name, or read what is there and change it."},
	WrongState: {http.StatusConflict, "Its state does not allow this",
		"What is asked for is a step that cannot follow on the present state: what is withdrawn stays withdrawn. Sending it again does not help."},
	KeyMissing: {http.StatusBadRequest, "The Idempotency-Key is missing",
		"What must not happen twice needs the header Idempotency-Key: a text of your own, new for each act, the same when an act is sent again."},
	KeyReused: {http.StatusUnprocessableEntity, "The Idempotency-Key was used for something else",
		"This key belongs to a request with another content. Take a new key for a new act."},
	Gone: {http.StatusGone, "It can no longer be used",
		"What the address names was there and is spent or withdrawn."},
	TooLarge: {http.StatusRequestEntityTooLarge, "The body is too large",
		"The detail names the limit. Leave out what is not needed or send it in parts."},
	MediaType: {http.StatusUnsupportedMediaType, "The media type is not taken here",
		"The detail names the media types that are."},
	TooMany: {http.StatusTooManyRequests, "Too many attempts",
		"Wait as long as the header Retry-After says."},
	Unverified: {http.StatusUnprocessableEntity, "It rests on figures nobody has verified",
		"The rows that errors names are marked as unverified, or are prices that have run out. Verify or replace them, or confirm in the request that they are to be used all the same."},
	Incomplete: {http.StatusConflict, "Something is missing in the book",
		"The figures asked for rest on what errors names, which nobody has entered. Enter it, with 0 if it costs nothing."},
	FiguresChanged: {http.StatusConflict, "The figures have changed since the preview",
		"The book or the day is not the one that the request names, so the quote would not come to what was previewed. Nothing was issued. Ask for a new preview, look at it, and issue with its book_version and priced_on."},
	Internal: {http.StatusInternalServerError, "Something went wrong here",
		"This is a fault of the server. Whether a change was made is not known: read the present state before trying again. The request id finds the reason in the server's log."},
	Busy: {http.StatusServiceUnavailable, "The server is busy",
		"Nothing was done. Try again after the time in the header Retry-After."},
	Unavailable: {http.StatusServiceUnavailable, "The server is not ready",
		"It is starting, stopping or cannot reach its store. Try again after the time in the header Retry-After."},
	NoSpace: {http.StatusInsufficientStorage, "There is no room left on the server's disk",
		"Nothing was done. Reading goes on. Free room on the disk the database is on, then send it again; the server goes on by itself."},
	StoreFailed: {http.StatusServiceUnavailable, "The database fails",
		"Nothing was done. The disk or the database does not do what it is asked to; the request id finds the reason in the server's log."},
	OutcomeUnknown: {http.StatusServiceUnavailable, "It is not known whether it was saved",
		"The disk or the database failed while the change was being kept, so it may be there or not. Read the present state, or send the same request with the same Idempotency-Key: it then has one effect. The request id finds the reason in the server's log."},
}

// Kinds lists all kinds.
func Kinds() []Kind { return slices.Collect(maps.Keys(kinds)) }

// Status is the HTTP status of a kind.
func (k Kind) Status() int { return kinds[k].status }

// Title is what a person reads first; it is the same for every failure of a
// kind.
func (k Kind) Title() string { return kinds[k].title }

// Help says what to do about failures of a kind.
func (k Kind) Help() string { return kinds[k].help }
