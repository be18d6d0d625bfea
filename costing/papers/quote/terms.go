package quote

// term is one of the eleven rules of Incoterms 2020.
type term struct {
	code, name string
	// carried says that the seller pays the main carriage.
	carried bool
	// allPaid says that the seller clears the goods for import and pays.
	allPaid bool
}

func terms() []term {
	return []term{
		{code: "EXW", name: "ex works"},
		{code: "FCA", name: "free carrier"},
		{code: "FAS", name: "free alongside ship"},
		{code: "FOB", name: "free on board"},
		{code: "CPT", name: "carriage paid to", carried: true},
		{code: "CIP", name: "carriage and insurance paid to", carried: true},
		{code: "CFR", name: "cost and freight", carried: true},
		{code: "CIF", name: "cost, insurance and freight", carried: true},
		{code: "DAP", name: "delivered at place", carried: true},
		{code: "DPU", name: "delivered at place unloaded", carried: true},
		{code: "DDP", name: "delivered duty paid", carried: true, allPaid: true},
	}
}

// Terms lists the codes of Incoterms 2020.
func Terms() []string {
	var out []string
	for _, t := range terms() {
		out = append(out, t.code)
	}
	return out
}

func termOf(code string) (term, bool) {
	for _, t := range terms() {
		if t.code == code {
			return t, true
		}
	}
	return term{}, false
}

// TermName gives the words of a code of Incoterms 2020, empty for another text.
func TermName(code string) string {
	t, _ := termOf(code)
	return t.name
}
