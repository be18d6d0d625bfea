package main

import (
	"strings"
	"testing"
)

// TestStarter takes tools into a database: what the book has stays, what may cost
// something else and what is not known is said, and twice is once.
func TestStarter(t *testing.T) {
	t.Parallel()
	path := shopFile(t, false)
	list := mustRun(t, "starter", "list")
	for _, name := range []string{"stainless-316l ", "beech ", "small-lathe ", "taps "} {
		if !strings.Contains(list, "\n"+name) {
			t.Errorf("the list has no %s", name)
		}
	}
	before := mustRun(t, "export", "book", "--data", path)
	said := mustRun(t, "starter", "taps", "--data", path, "--preview")
	for _, words := range []string{"TAP-M3 is in the book and stays as it is", "part HS-010, operation 20 leaves its tools open", "wear is listed as not counted", "nothing was written"} {
		if !strings.Contains(said, words) {
			t.Errorf("%q does not say %q", said, words)
		}
	}
	if mustRun(t, "export", "book", "--data", path) != before {
		t.Error("a preview writes")
	}
	if said := mustRun(t, "starter", "taps", "--data", path); !strings.Contains(said, "saved tools/TAP-M12") || strings.Contains(said, "saved tools/TAP-M3\n") {
		t.Errorf("it says %q", said)
	}
	if again := mustRun(t, "starter", "taps", "--data", path); strings.Contains(again, "saved") {
		t.Errorf("again it says %q", again)
	}
	if _, _, err := kerfbook(t, "", "starter", "nothing", "--data", path); err == nil || !strings.Contains(err.Error(), "there is no starter nothing") {
		t.Errorf("%v", err)
	}
}
