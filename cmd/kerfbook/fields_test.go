package main

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"kerfbook/costing/book/record"
)

func TestFields(t *testing.T) {
	t.Parallel()
	kinds := mustRun(t, "fields")
	for _, k := range record.Kinds() {
		if !strings.Contains(kinds, k.Name+" ") {
			t.Errorf("%s is not among\n%s", k.Name, kinds)
		}
		mustRun(t, "fields", k.Name)
	}
	one := mustRun(t, "fields", "parts", "routing[0].kind")
	for _, want := range []string{"What kind of work it is.", "needed   yes", "example  kind: machining", "outside     a supplier works on our pieces"} {
		if !strings.Contains(one, want) {
			t.Errorf("%q is not in\n%s", want, one)
		}
	}
	if schema := mustRun(t, "fields", "--schema"); !json.Valid([]byte(schema)) {
		t.Error("the schema is no JSON")
	}
	for _, c := range []struct{ args, want string }{
		{"part", "did you mean parts?"},
		{"--schema part", "did you mean parts?"},
		{"nothing", "known are shop, rate_cards"},
		{"parts routing.piece_mi", "did you mean piece_min?"},
		{"stocks thing", "known are id, name"},
		{"stocks id.x", `there is no field "x"`},
		{"stocks id x", "usage: kerfbook fields [KIND] [FIELD]"},
	} {
		_, _, err := kerfbook(t, "", append([]string{"fields"}, strings.Fields(c.args)...)...)
		var usage *usageError
		if !errors.As(err, &usage) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("fields %s: %v, want %q", c.args, err, c.want)
		}
	}
}
