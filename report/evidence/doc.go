// Package evidence writes one page for each listing that stands out, and an
// index of them: HTML that needs no script, no network and no other file, to
// be read on a screen, by a screen reader or on paper.
//
// The files: set.go which listings get a page and under what name, page.go the
// head of a page, findings.go its findings, lookup.go the way from a quote back
// to the field and the photo it was taken from, context.go a quote in its
// context, photos.go pictures side by side, prices.go and plot.go the market,
// origin.go captures and times, related.go other listings, link.go the way to a
// capture, index.go the list of pages; templates/ the markup.
//
// All text of the input is escaped by html/template after [report.Visible] has
// shown its deceiving characters. Pictures are JPEG bytes that the caller made.
// The same batch and run give the same bytes.
package evidence
