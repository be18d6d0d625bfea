package answer

import (
	"slices"
	"strings"
)

// IsShare tells whether a figure is known to be a share, which people read as a
// percentage: a margin, a yield, a rate of tax. Other numbers without a unit are
// counts, factors or ratios.
func (f Figure) IsShare() bool {
	if f.Unit != "" {
		return false
	}
	return slices.Contains(shareNames, f.Key[strings.LastIndex(f.Key, "/")+1:])
}

// shareNames are the last elements of the keys of shares.
var shareNames = []string{
	"margin", "margin-wanted", "margin-of-kept", "markup", "markup-wanted", "reseller-margin",
	"yield", "rolled-yield", "fitting-yield", "fitting-scrap", "rejected", "stock-use", "recovered-share", "leftover-value",
	"cash-discount", "customer-discount", "commission", "payment-share", "net-share", "after-target-discounts", "after-customer-discount",
	"tax", "tax-rate", "tax-rate-origin", "tax-rate-there", "by-value", "effective", "administration", "selling",
	"inbound-share", "fuel-share", "insurance-rate", "premium-share", "share-of-advanced",
}
