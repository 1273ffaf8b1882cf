// Package compare says what changed between two looks at a market: which
// listings are new, gone or put up again, which prices moved, what was
// rewritten, and what of an old listing turns up elsewhere.
//
// It joins each listing to its earlier self, best evidence first and one to
// one: by its id on the marketplace, by its address, else by what both sides
// show of seller, serial, photos, text and part. The reason is stated with each
// change. Where several listings would do equally well none is chosen; they
// stand apart as unclear.
//
// The files: compare.go the entry, item.go what is known of a listing, traders.go
// which accounts are one trader, identity.go and evidence.go the joining,
// assign.go one to one, kinds.go the kinds of change and their innocent
// explanations, edits.go, photos.go and stock.go what changed in a joined
// listing, moves.go what comes and goes, accounts.go new accounts with old
// material, undercut.go the user's own prices, ndjson.go, runjson.go, summary.go,
// workbook.go and sheet.go the outputs.
//
// seen.go does the same for what two runs of a casebook saw, of which less is
// kept.
//
// Nothing here says that a part or an offer is counterfeit. Gone means 'not
// among the later inputs'. The same inputs give the same bytes.
//
// # Lines of changes.ndjson
//
// One JSON object a line, in the order of the workbook: what stands out first.
// Keys are stable; a key whose value does not apply is left out unless marked
// with *.
//
//	n*           number of the line, from 1
//	kind*        one of the kinds that Kinds lists
//	attention*   "stands-out", "worth-a-look" or "routine"
//	statement*   one sentence
//	innocent*    what may lie behind it that is no reason to look
//	part, title, seller   of the later listing, else of the earlier one
//	matched_by   how the two listings were joined: "id", "address", "serial",
//	             "photos", "text", "title", "part", "seller"
//	match        "firm", "likely" or "possible"
//	field        canonical name of the field that changed
//	before, after  {listing, file, entry, sha256, row, url, seller, captured_at, value}
//	old, new     the part of a text that differs
//	amount, currency, percent   of a price that moved: signed decimal number,
//	             ISO 4217 code, signed per cent to one decimal
//	others       keys of further listings that are meant
//	evidence*    [{side, file, sha256, place, quote}], side "before" or "after"
package compare
