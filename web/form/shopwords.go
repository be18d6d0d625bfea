package form

import (
	"kerfbook/bom"
	"kerfbook/costing/book"
	"kerfbook/web/frame"
)

// ShopUnnamed is what a shop is called that began with a first part.
const ShopUnnamed = "my shop"

// ShopWords count what a shop has to price with.
func ShopWords(b *book.Book) string {
	count := func(n int, one, more string) string {
		if n == 1 {
			return "1 " + one
		}
		return frame.Digits(n) + " " + more
	}
	materials := map[bom.ID]bool{}
	for i := range b.Materials {
		materials[b.Materials[i].ID] = true
	}
	for i := range b.Parts {
		if g := b.Parts[i].FirstGuess; g != nil {
			materials[g.Material] = true
		}
	}
	return count(len(b.Parts), "part", "parts") + ", " + count(len(b.WorkCentres), "machine or bench", "machines and benches") + ", " + count(len(materials), "material", "materials")
}
