// Package market compares the price of a listing with the prices of the same
// part at other sellers, and with the user's reference price.
//
// A market is what may be compared: one part, unit type, condition and claim.
// Prices are unit landed prices in one currency, on the log scale, one for each
// seller group, and the group of the listing under test is left out. The
// reference price comes first, since a market that is half copies has a copy's
// price as its median; without a reference the largest gap between neighbouring
// prices is looked for, and two price groups make the median unreliable.
//
// Where low prices are so many that they hide each other without leaving a gap,
// the group around the upper quantile (the main price group) is the yardstick.
//
// The files: offer.go what goes in, result.go what comes out, settings.go the
// thresholds, rates.go exchange rates, reference.go the choice of the reference
// price, build.go the grouping, pool.go the sorted prices of a market and their
// leave-one-out figures, groups.go two price groups and the main one, assess.go
// the comparison of one listing, sheet.go the markets as a report prints them,
// ladder.go the price classes of a part. simulation_test.go measures how often
// all this errs on simulated markets.
//
// A low price is a reason to look, never a verdict: grey imports, clearances,
// mixed conditions and lots are cheap too, and a copy may be sold at the price
// of the genuine part, so a normal price clears nothing.
package market
