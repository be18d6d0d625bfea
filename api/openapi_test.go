package api

import (
	"bytes"
	"crypto/rand"
	"flag"
	"log/slog"
	"maps"
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/go-chi/chi/v5"

	"kerfbook/api/edge"
	"kerfbook/api/service"
	"kerfbook/costing/text"
)

var update = flag.Bool("update", false, "write openapi.yaml and the golden files anew")

// bare is the interface without a store, for what needs none.
func bare(t testing.TB) *API {
	t.Helper()
	s := service.New(nil, time.Now, rand.Reader)
	e := must(edge.New(edge.Config{}, s, slog.New(slog.DiscardHandler)))(t)
	return build(s, e)
}

// TestDocumentIsCurrent holds the committed description against the code.
func TestDocumentIsCurrent(t *testing.T) {
	t.Parallel()
	want := must(bare(t).huma.OpenAPI().YAML())(t)
	if *update {
		if err := os.WriteFile("openapi.yaml", want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !bytes.Equal(document, want) {
		t.Error("openapi.yaml differs from what the code says; run: go test ./api -run TestDocumentIsCurrent -update")
	}
}

// TestRoutesAreDocumented holds the router and the document against each other,
// both ways.
func TestRoutesAreDocumented(t *testing.T) {
	t.Parallel()
	a := bare(t)
	var routed []string
	err := chi.Walk(a.router, func(method, path string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		routed = append(routed, method+" "+path)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	var documented []string
	for _, op := range operations(a) {
		documented = append(documented, op.Method+" "+op.Path)
	}
	slices.Sort(routed)
	slices.Sort(documented)
	if !slices.Equal(routed, documented) {
		t.Errorf("routed:\n%s\ndocumented:\n%s", strings.Join(routed, "\n"), strings.Join(documented, "\n"))
	}
	if len(routed) < 80 {
		t.Errorf("only %d routes", len(routed))
	}
}

// operations lists all operations of the document, in the order of their paths.
func operations(a *API) []*huma.Operation {
	var out []*huma.Operation
	paths := a.huma.OpenAPI().Paths
	for _, path := range slices.Sorted(maps.Keys(paths)) {
		item := paths[path]
		for _, op := range []*huma.Operation{item.Get, item.Put, item.Post, item.Delete, item.Patch, item.Head, item.Options, item.Trace} {
			if op != nil {
				out = append(out, op)
			}
		}
	}
	return out
}

// TestDocumentReferencesResolve looks for references to schemas that do not
// exist.
func TestDocumentReferencesResolve(t *testing.T) {
	t.Parallel()
	a := bare(t)
	text := must(a.huma.OpenAPI().YAML())(t)
	known := a.huma.OpenAPI().Components.Schemas.Map()
	found := 0
	for line := range strings.Lines(string(text)) {
		_, name, ok := strings.Cut(line, "#/components/schemas/")
		if !ok {
			continue
		}
		found++
		if name = strings.Trim(name, "\"'\n "); known[name] == nil {
			t.Errorf("there is no schema %q", name)
		}
	}
	if found < 100 {
		t.Errorf("only %d references", found)
	}
}

// TestEveryFieldIsDescribed wants each field that is sent or answered to say what it is.
func TestEveryFieldIsDescribed(t *testing.T) {
	t.Parallel()
	said := map[string]bool{}
	for name, s := range bare(t).huma.OpenAPI().Components.Schemas.Map() {
		for field, p := range s.Properties {
			if p.Description == "" {
				t.Errorf("%s.%s is not described; add it to schema/wire.yaml, or to the dictionary of the book", name, field)
			}
			said[field+p.Description], said[name+"."+field+p.Description] = true, true
		}
	}
	var wire struct {
		Fields map[string]string `book:"fields"`
	}
	if _, err := text.Decode(must(os.ReadFile("schema/wire.yaml"))(t), &wire); err != nil {
		t.Fatal(err)
	}
	for name, says := range wire.Fields {
		if !said[name+says] {
			t.Errorf("schema/wire.yaml: nothing needs to be told what %s is", name)
		}
	}
}

// TestAnswersAreOpen wants answers to be able to say more in the next version, and what
// is only sent to take no more than the reader does.
func TestAnswersAreOpen(t *testing.T) {
	t.Parallel()
	components := bare(t).huma.OpenAPI().Components.Schemas.Map()
	for name, closed := range map[string]bool{"Estimate": false, "BookPart": false, "Figure": false, "PriceListRequest": true, "QuoteRequest": true} {
		if (components[name].AdditionalProperties == false) != closed {
			t.Errorf("%s: closed %t", name, !closed)
		}
	}
	if p := components["Estimate"].Properties["findings"]; p.Nullable {
		t.Error("a list of an answer may be null")
	}
	if a, b := components["BookCarrier"].Properties["surcharges"].Items.Ref, components["BookProcess"].Properties["surcharges"].Items.Ref; a == b {
		t.Errorf("surcharges of carriers and of outside processes are both %s", a)
	}
}

// TestEveryOperationSaysWhatItNeeds looks at what the document promises about
// scopes and conditions.
func TestEveryOperationSaysWhatItNeeds(t *testing.T) {
	t.Parallel()
	open := []string{"/healthz", "/readyz", Base + "/openapi.yaml", Base + "/problems/{kind}"}
	for _, op := range operations(bare(t)) {
		rt := op.Metadata["route"].(*route)
		if (rt.scope == 0) != slices.Contains(open, op.Path) {
			t.Errorf("%s %s: scope %s", op.Method, op.Path, rt.scope)
		}
		if op.Summary == "" || op.OperationID == "" {
			t.Errorf("%s %s is not described", op.Method, op.Path)
		}
		bodiless := op.Method == http.MethodGet || op.Method == http.MethodDelete || slices.Contains([]string{"withdraw-quote", "undo-change", "link-person"}, op.OperationID)
		if bodiless != (op.RequestBody == nil) {
			t.Errorf("%s %s: body %v", op.Method, op.Path, op.RequestBody)
		}
		versionless := rt.tag == "access" || op.OperationID == "cancel-spread"
		if ((op.Method == http.MethodPut || op.Method == http.MethodDelete) && !versionless) != rt.changes && rt.method != http.MethodPost {
			t.Errorf("%s %s: If-Match needed: %t", op.Method, op.Path, rt.changes)
		}
	}
}
