package storetest

import (
	"strings"
	"testing"

	"kerfbook/api/answer"
	"kerfbook/api/service"
)

// handBook is written as people write.
const handBook = `# The book of a small shop.
kerfbook: 1
name:   Ostrel Workshop   # in Porto
country: "PT"
currency: EUR

rate_cards:
- id: "2026-09"   # looked at each autumn
  from: 2026-09-01

# Whom we buy from.
suppliers:
# fast
- {id: DRUSAVEL,  name: Drusavel Componentes}

# slow, and good
- {id: BARRAS, name: 'Barras Tesquim'} # since 2019
# - {id: OLD, name: gone}

materials:
- id: CU
  name: copper
  density_g_cm3: 8.93 # from memory
# the end
`

// hand imports a book that people wrote: what a change does not touch is exported byte
// for byte, and a comment that changes is a revision and no new version for figures.
func hand(t *testing.T, b *bench) {
	ctx := t.Context()
	v := b.load(t, []byte(handBook))
	want := handBook
	exported := func(what, from, to string) answer.Version {
		t.Helper()
		if want = strings.Replace(want, from, to, 1); from != to && !strings.Contains(want, to) {
			t.Fatalf("%s: the book has no %q", what, from)
		}
		got, v, err := b.service.ExportBook(ctx)
		if err != nil || string(got) != want {
			t.Fatalf("%s: %v\n%s\nwant\n%s", what, err, got, want)
		}
		return v
	}
	record := func(kind, id string) service.Record {
		t.Helper()
		r, err := b.service.Record(ctx, kind, id, 0)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	put := func(kind, id, body string, version answer.Version) {
		t.Helper()
		if _, err := b.service.PutRecord(ctx, maker, kind, id, []byte(body), version); err != nil {
			t.Fatal(err)
		}
	}
	exported("as imported", "", "")

	again := strings.Replace(handBook, "# slow, and good", "# slow", 1)
	done, err := b.service.ImportBook(ctx, maker, []byte(again), v)
	if err != nil || done.Changed != 1 || done.Created+done.Deleted > 0 {
		t.Fatalf("another comment: %+v, %v", done, err)
	}
	if now := exported("another comment", "# slow, and good", "# slow"); now == v || now.Figures() != v || now != done.Version {
		t.Errorf("a comment leads from version %s to %s", v, now)
	}
	if r := record("suppliers", "BARRAS"); r.Revision != 2 || string(r.Text) != "# slow\n{id: BARRAS, name: 'Barras Tesquim'} # since 2019\n" {
		t.Errorf("revision %d: %s", r.Revision, r.Text)
	}

	put("suppliers", "BARRAS", `{"id": "BARRAS", "name": "Barras"}`, answer.AnyVersion)
	exported("a value by JSON", "'Barras Tesquim'", "Barras")
	put("materials", "CU", "id: CU\nname: copper # pure\ndensity_g_cm3: 8.93 # from memory\n\ncutting_as: copper\n", answer.AnyVersion)
	exported("a text", "  name: copper\n  density_g_cm3: 8.93 # from memory\n", "  name: copper # pure\n  density_g_cm3: 8.93 # from memory\n\n  cutting_as: copper\n")
	put("suppliers", "PLACA", `{"id": "PLACA", "name": "Placas"}`, "")
	exported("a new record", "# since 2019\n", "# since 2019\n\n- {id: PLACA, name: Placas}\n")
	put("tools", "FM", "# new\nid: FM\nname: face mill\nkind: face_mill\ndiameter_mm: 50\nteeth: 5\ngrade: carbide\n", "")
	exported("the first of a list", "# the end\n", "\ntools:\n# new\n- id: FM\n  name: face mill\n  kind: face_mill\n  diameter_mm: 50\n  teeth: 5\n  grade: carbide\n# the end\n")
	if _, err := b.service.DeleteRecord(ctx, maker, "suppliers", "DRUSAVEL", answer.AnyVersion); err != nil {
		t.Fatal(err)
	}
	exported("a record less", "# fast\n- {id: DRUSAVEL,  name: Drusavel Componentes}\n", "")

	shop := record("shop", "shop")
	if want := "name:   Ostrel Workshop   # in Porto\ncountry: \"PT\"\ncurrency: EUR\n"; string(shop.Text) != want {
		t.Errorf("the shop alone:\n%s", shop.Text)
	}
	put("shop", "shop", string(shop.Text), shop.Version)
	barras := record("suppliers", "BARRAS")
	put("suppliers", "BARRAS", string(barras.Text), barras.Version)
	if record("suppliers", "BARRAS").Revision != barras.Revision || record("shop", "shop").Revision != shop.Revision {
		t.Error("a text that is saved as it is makes a revision")
	}
	put("shop", "shop", string(shop.Text)+"time_zone: Europe/Lisbon # ours\n", shop.Version)
	exported("the shop", "currency: EUR\n", "currency: EUR\ntime_zone: Europe/Lisbon # ours\n")
	put("shop", "shop", `{"name": "Ostrel", "country": "PT", "currency": "EUR"}`, answer.AnyVersion)
	want = strings.Replace(want, "time_zone: Europe/Lisbon # ours\n", "", 1)
	exported("the shop by JSON", "Ostrel Workshop ", "Ostrel ")
	b.verified(t)
}
