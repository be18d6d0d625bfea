// Package purchase prices what is bought: order quantities over price breaks,
// minimums and multiples (formula B1), the choice between offers, and what is
// left over (B2).
package purchase
