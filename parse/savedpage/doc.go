// Package savedpage reads the listings of a page saved from a browser.
//
// A page says the same thing in several places: structured data for machines
// and the text a buyer sees. Each mechanism collects candidates with their
// place; trust.go lets the best one win and keeps what it disagrees with.
//
//	read.go      the entry point
//	decode.go    bytes to UTF-8
//	page.go      one parse, one walk, the tree as a flat slice
//	words.go     what class names and headings say about a part of the page
//	jsonld.go    JSON-LD; repair.go mends damaged JSON
//	microdata.go Microdata after the HTML Standard
//	rdfa.go      RDFa Lite
//	schema.go    schema.org items of all three to candidates
//	meta.go      Open Graph, product meta tags, data attributes
//	visible.go   headings, label and value pairs, wording
//	price.go     the price that belongs to the title
//	results.go   pages with many offers
//	photos.go    pictures of the item
//	trust.go     which candidate wins
//	pages.go     the user's own selectors
//	place.go     byte ranges of elements
//
// Nothing here opens a file or the network: a reference of the page goes to
// [Resources], and a reference to another host is never followed.
package savedpage
