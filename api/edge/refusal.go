package edge

import (
	"fmt"
	"time"
)

// Refusal is an error of the request that is found before any use case is
// called.
type Refusal struct {
	Kind   Kind
	Detail string
	Fields []Field
	Wait   time.Duration // after which it may be tried again
	Allow  string        // methods, of MethodNotAllowed
}

func (f *Refusal) Error() string {
	if f.Detail == "" {
		return kinds[f.Kind].title
	}
	return f.Detail
}

func missingVersion() error {
	return &Refusal{Kind: VersionMissing, Detail: "say which version is changed: send If-Match with the ETag that was read, or If-None-Match: * for something new"}
}

func badVersion() error {
	return &Refusal{Kind: BadRequest, Detail: "If-Match holds one strong entity tag, such as \"v7\" with its quotes"}
}

func notReady() *Refusal {
	return &Refusal{Kind: Unavailable, Detail: "the server is not ready to answer", Wait: 2 * time.Second}
}

func tooMany(wait time.Duration) error {
	return &Refusal{Kind: TooMany, Detail: "too many wrong attempts from this address; try again in " + seconds(wait) + " s", Wait: wait}
}

func unauthorized() error {
	return &Refusal{Kind: Unauthorized, Detail: "send a token in the header Authorization: Bearer …, or sign in"}
}

func forbidden(scope string) error {
	return &Refusal{Kind: Forbidden, Detail: "this needs the scope " + scope}
}

// seconds writes a wait in whole seconds, rounded up.
func seconds(d time.Duration) string {
	return fmt.Sprint(int64((d + time.Second - 1) / time.Second))
}

// bodyTooLarge is the refusal of a body over a limit.
func bodyTooLarge(limit int64) error {
	return &Refusal{Kind: TooLarge, Detail: fmt.Sprintf("the body is larger than %d bytes", limit)}
}

// typeName names the type of a value, for logs that must not hold the value.
func typeName(v any) string { return fmt.Sprintf("%T", v) }
