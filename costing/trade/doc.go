// Package trade holds what others ask and take when goods are sold: channels and
// prices, carriers, destinations, taxes, tariff and import charges, with their
// look-up by place and day.
package trade
