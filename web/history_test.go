package web_test

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

// undoAt finds the address that the notice of a page offers to undo its change at.
func undoAt(t *testing.T, page string) string {
	t.Helper()
	m := regexp.MustCompile(`action="(/changes/\d+/undo)"`).FindStringSubmatch(page)
	if m == nil {
		t.Fatalf("nothing can be undone on\n%s", page)
	}
	return m[1]
}

// TestSavingWithAReasonAndUndo: a save keeps its reason, its page undoes it with one press,
// the history says who, why, from what to what and what that did, and what was changed
// since is named and not undone.
func TestSavingWithAReasonAndUndo(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	save := func(value, why string) string {
		form, _ := url.ParseQuery(millRate)
		form.Set("version", hidden(t, b.page("/change?"+millRate+"&value="+value), "version"))
		form.Set("value", value)
		form.Set("why", why)
		code, body := b.post("/change", form)
		if code != http.StatusOK {
			t.Fatalf("saving: %d", code)
		}
		return body
	}
	for _, rate := range []string{"42", "43", "44"} {
		save(rate, "")
	}
	first := undoAt(t, save("41.50", "wages rose in spring"))
	list := b.page("/changes?record=work_centres/MILL")
	checkPage(t, "changes", list)
	says(t, "the list", list, "wages rose in spring", "labour rate, per h", "41.5", "maker", "the largest of 3")
	if all := b.page("/changes"); strings.Count(all, "work it out") != 2 || strings.Contains(all, "not set") {
		t.Error("the first three of five changes say their effect")
	}
	one := b.page(strings.TrimSuffix(first, "/undo"))
	checkPage(t, "a change", one)
	says(t, "the change", one, "wages rose in spring", "What it did to the full cost", "plain", "Undo it")
	code, undone := b.post(first, url.Values{"why": {"a slip"}})
	if code != http.StatusOK || !strings.Contains(undone, "Undone: what it changed is as it was before.") || !strings.Contains(undone, "a slip") {
		t.Fatalf("undo: %d\n%s", code, undone)
	}
	if code, body := b.post(first, nil); code != http.StatusPreconditionFailed || !strings.Contains(body, "work_centres/MILL: maker saved revision 6") {
		t.Errorf("undone twice: %d\n%s", code, body)
	}
	revisions := b.page("/book/work_centres/MILL/revisions?show=1&against=5")
	checkPage(t, "revisions", revisions)
	says(t, "two revisions", revisions, "What differs", "labour rate, per h", "41.5")
	says(t, "two that are alike", b.page("/book/work_centres/MILL/revisions?show=4"), "Both say the same.")
	if code, _ := b.post("/changes/99999/undo", nil); code != http.StatusNotFound {
		t.Errorf("a change that is none: %d", code)
	}
}

// TestRemovalIsUndone from the page it leads to.
func TestRemovalIsUndone(t *testing.T) {
	t.Parallel()
	b := demoShop(t).signIn(t)
	edit := b.page("/book/suppliers/DRUSAVEL/edit")
	_, removed := b.post("/book/suppliers/DRUSAVEL/remove", url.Values{"version": {hidden(t, edit, "version")}, "sure": {"yes"}, "why": {"closed down"}})
	if code, body := b.post(undoAt(t, removed), nil); code != http.StatusOK || !strings.Contains(body, "closed down") {
		t.Errorf("undo: %d", code)
	}
	b.page("/book/suppliers/DRUSAVEL")
	if _, same := b.post("/book/suppliers/DRUSAVEL", url.Values{"version": {hidden(t, b.page("/book/suppliers/DRUSAVEL/edit"), "version")}, "tab": {"text"},
		"text": {string(must(b.shop.svc.Record(t.Context(), "suppliers", "DRUSAVEL", 0))(t).Text)}}); strings.Contains(same, "/undo") {
		t.Error("saving what is there already offers to undo something")
	}
}
