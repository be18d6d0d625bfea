// Package landed turns the price of goods into what the buyer has paid in all
// when the parcel is in their hands, and what the seller keeps (L1 to L9).
//
// [Build] writes the figures of one consignment to one destination into the
// formula graph. Which rows of tax, duty and customs apply follows from the
// definitions and the day; which side of a threshold applies is decided in the
// graph, where both sides are built. Every destination is shown both ways: buyer
// clears, with charges at the door, and all paid, where one price covers all.
//
// Duty, tax and classification are estimates as of a day and not advice: a
// licensed broker or the authority decides.
package landed
