// Package workbook writes the ranked workbook.
//
// The files: workbook.go the order of the sheets, sheet.go one streamed table,
// style.go the looks, text.go how a listing's text becomes a cell, plot.go prices
// drawn in a cell, archive.go the container with fixed bytes; one file for each
// sheet: first.go, suspects.go, findings.go, markets.go, sellers.go, serials.go,
// photos.go, incomplete.go, catalogue.go, runsheet.go, and for those that are
// there when asked for: own.go, offers.go, arrival.go, rivals.go.
//
// Text of a listing is always a string cell: it cannot become a formula, a
// number or a link. The same batch and run give the same bytes.
package workbook
