package main

import (
	"strings"
	"testing"
)

// TestSave saves a bought part with its offer in one change, and takes the part out
// again, which the offer still refers to.
func TestSave(t *testing.T) {
	t.Parallel()
	path := shopFile(t, false)
	both := write(t, "records:\n  parts: [{number: CLIP-3, name: wire clip, kind: bought}]\n"+
		"  offers:\n    - {for: CLIP-3, supplier: DRUSAVEL, unit: piece, currency: EUR, breaks: [{from: 1, price: 0.30}]}\n")
	if got := mustRun(t, "save", both, "--data", path, "--preview"); got != "nothing was written\n" {
		t.Errorf("a preview says %q", got)
	}
	if got := mustRun(t, "save", both, "--data", path); got != "saved offers/CLIP-3.DRUSAVEL, revision 1\nsaved parts/CLIP-3, revision 1\n" {
		t.Errorf("saving says %q", got)
	}
	got := mustRun(t, "save", write(t, "remove: {parts: [CLIP-3]}\n"), "--data", path)
	if !strings.HasPrefix(got, "removed parts/CLIP-3, revision 2\n") || !strings.Contains(got, "offers CLIP-3.DRUSAVEL: there is no part or stock CLIP-3") {
		t.Errorf("removing says %q", got)
	}
	bad := write(t, "records:\n  suppliers: [{id: A}, {id: B, nmae: b}]\nremove: {parts: [NONE]}\n")
	if _, said, err := kerfbook(t, "", "save", bad, "--data", path); err == nil || !strings.Contains(said, "line 2, column 15: records.suppliers[0]") || !strings.Contains(said, "did you mean name") {
		t.Errorf("%v, %s", err, said)
	}
	stale := write(t, "records: {suppliers: [{id: DRUSAVEL, name: x}]}\nremove: {parts: [NONE]}\nif_match: {suppliers/DRUSAVEL: 9-old}\n")
	if _, said, err := kerfbook(t, "", "save", stale, "--data", path); err == nil || !strings.Contains(said, "DRUSAVEL has changed meanwhile") || !strings.Contains(said, "no record parts NONE") {
		t.Errorf("%v, %s", err, said)
	}
}
