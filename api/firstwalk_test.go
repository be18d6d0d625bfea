package api

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"kerfbook/api/answer"
	"kerfbook/api/answer/study"
	"kerfbook/api/service"
)

// TestFirstPartByCalls walks from an empty database to a quote of a part in two countries:
// the shop and the part in one change, its band, what is cut into it, how many, its price at
// a margin with its chance, what customs asks, and the quote with its files.
func TestFirstPartByCalls(t *testing.T) {
	t.Parallel()
	w := empty(t)
	secret, _, err := w.service.CreateToken(t.Context(), maker, "walk", service.Read|service.Write|service.Quote, time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	w.tokens["all"] = secret
	call := func(status int, method, path, body string) *bytes.Buffer {
		t.Helper()
		header := map[string]string{"Idempotency-Key": "walk" + strings.ReplaceAll(path, "/", "-") + string(rune('a'+len(body)%26))}
		if method == "PUT" {
			if old := w.do(ask{method: "GET", path: path}); old.Code == 200 {
				header["If-Match"] = old.Header().Get("ETag")
			} else {
				header["If-None-Match"] = "*"
			}
		}
		return w.want(t, status, ask{method: method, path: path, body: body, header: header}).Body
	}
	part := `{"number":"KNOB","name":"brass knob","kind":"made","finished":{"length_mm":"22","diameter_mm":"20"},"first_guess":{"way":"turned","material":"brass","work_centre":"LATHE"}MORE}`
	call(200, "POST", "/api/v1/records", `{"records":{"shop":{"name":"Ostrel Workshop","country":"PT","currency":"EUR"},"rate_cards":[{"id":"first","from":"2026-01-01"}],
		"work_centres":[{"id":"LATHE","name":"lathe","machine_rate_per_h":"58","labour_rate_per_h":"0"}],"parts":[`+strings.Replace(part, "MORE", "", 1)+`]}}`)
	band := func() (out study.Band) {
		t.Helper()
		if err := json.Unmarshal(call(200, "POST", "/api/v1/bands", `{"day":"2026-11-25","part":"KNOB","pieces":"100"}`).Bytes(), &out); err != nil || out.Low.Value >= out.High.Value {
			t.Fatalf("%v, %+v", err, out.Width)
		}
		return out
	}
	wide := band()
	if h := wide.Hour; h == nil || h.Rate.String() != "58" || h.WorkCentre != "LATHE" || len(h.TakenOverBy) > 0 {
		t.Errorf("the hour: %+v", h)
	}
	cut := `,"routing":[{"number":10,"name":"turn","kind":"machining","work_centre":"LATHE","setup_min":"45","piece_min":"1.2"}],"not_counted":[{"what":"packing","answer":"in_rate"}]`
	call(200, "PUT", "/api/v1/parts/KNOB", strings.Replace(part, "MORE", cut, 1))
	if now := band(); len(now.Questions) >= len(wide.Questions) {
		t.Errorf("%d questions, and after an answer %d", len(wide.Questions), len(now.Questions))
	}
	var curves study.BatchCurves
	if err := json.Unmarshal(call(200, "POST", "/api/v1/curves", `{"day":"2026-11-25","curves":[{"part":"KNOB","margin":"0.4"}],"from":"50","to":"201","quantity":"100"}`).Bytes(), &curves); err != nil || curves.Curves[0].Advice == nil {
		t.Errorf("how many: %v", err)
	}
	prices := func() answer.VariantPrices {
		t.Helper()
		var list answer.PriceList
		if err := json.Unmarshal(call(200, "GET", "/api/v1/price-lists?day=2026-11-25&quantities=100&parts=KNOB&margin=0.4&destinations=DE,CH&chances=true", "").Bytes(), &list); err != nil {
			t.Fatal(err)
		}
		return list.Estimates[0].Variants[0]
	}
	v := prices()
	if v.Channels[0].Chance == "" || v.Channels[0].Shelf.Value == "" || len(v.Landed) != 2 || len(v.Landed[0].Missing) != 0 || v.Landed[0].AllPaid.Total.Value != v.Channels[0].Shelf.Value || len(v.Landed[1].Missing) != 2 {
		t.Errorf("before the rate of exchange: %+v", v.Landed)
	}
	call(200, "PUT", "/api/v1/rate-cards/first", `{"id":"first","from":"2026-01-01","exchange":[{"from":"EUR","to":"CHF","kind":"selling","rate":"0.94"},{"from":"EUR","to":"CHF","kind":"customs","rate":"0.94"}]}`)
	call(200, "PUT", "/api/v1/parts/KNOB", strings.Replace(part, "MORE", cut+`,"hs_code":"741980"`, 1))
	if v = prices(); len(v.Landed[1].Missing) != 0 || v.Landed[1].AllPaid.Total.Value == "" || v.Landed[1].AllPaid.Kept.Value == "" {
		t.Errorf("Switzerland: %+v", v.Landed[1].Missing)
	}
	asked := `{"lines":[{"part":"KNOB","margin":"0.4","quantity":"50","batch":"100"}],"destination":"CH","customer":{"name":"Elm & Rook"},"valid_days":30,"delivery":{"term":"FCA","place":"Porto"},"confirm_unverified":true}`
	if text := call(200, "POST", "/api/v1/quote-previews", asked).String(); !strings.Contains(text, `"part":"KNOB"`) {
		t.Errorf("the preview: %.200s", text)
	}
	var issued struct{ Number string }
	if err := json.Unmarshal(call(201, "POST", "/api/v1/quotes", asked).Bytes(), &issued); err != nil || issued.Number == "" {
		t.Fatal(err)
	}
	for _, format := range []string{"pdf", "csv", "xlsx"} {
		if call(200, "GET", "/api/v1/quotes/"+issued.Number+"/files/"+format, "").Len() < 100 {
			t.Errorf("the %s is empty", format)
		}
	}
	if proof := call(200, "GET", "/api/v1/quotes/"+issued.Number+"/proof?key=variant/KNOB/price/net/shelf-price&depth=1", "").String(); !strings.Contains(proof, "price asked") {
		t.Errorf("the proof: %.200s", proof)
	}
}
