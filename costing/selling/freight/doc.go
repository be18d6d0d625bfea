// Package freight is what a carrier asks to take a consignment to a place: parcels
// and cartons, the mass that counts, the price by zone, and insurance (L1 to L4).
package freight
