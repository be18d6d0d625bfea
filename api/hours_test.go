package api

import (
	"net/http"
	"strings"
	"testing"
)

// TestHours: the owner's own hour is tried out, stored, and asked of the stored book.
func TestHours(t *testing.T) {
	t.Parallel()
	w := newWorld(t)
	const own = `{"id":"OWN","name":"my own hour","pay_per_year":"30000","on_top":"0.3","hours_per_year":"1000","other_per_year":[{"name":"rent","amount":"12000"}]}`
	ask := func(body string) string {
		return w.do(ask{method: http.MethodPost, path: Base + "/hours", token: "read", body: body}).Body.String()
	}
	if got := ask(`{"wages":[` + own + `]}`); !strings.Contains(got, `"value":"51"`) || !strings.Contains(got, `"value":"102"`) {
		t.Errorf("tried out: %s", got)
	}
	if got := ask(`{}`); !strings.Contains(got, `"hours":[]`) {
		t.Errorf("of a book without wages: %s", got)
	}
}
