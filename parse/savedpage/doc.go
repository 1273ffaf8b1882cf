// Package savedpage reads the listings of a page saved from a browser.
//
// A page says the same thing in several places: structured data for machines
// and the text a buyer sees. Each mechanism collects candidates with their
// place; trust.go lets the best one win and keeps what it disagrees with.
//
//	read.go      the entry point
//	decode.go    bytes to UTF-8
//	page.go      one parse, one walk, the tree as a flat slice
//	text.go      what a reader sees of an element
//	words.go     what class names and headings say about a part of the page
//	jsonld.go    JSON-LD; repair.go mends damaged JSON
//	microdata.go Microdata after the HTML Standard
//	rdfa.go      RDFa Lite
//	thing.go     the items of all three
//	schema.go    products to candidates, offers.go their offers
//	meta.go      Open Graph, product meta tags, data attributes
//	embedded.go  state in scripts and data attributes
//	address.go   the identifier in the page's address
//	visible.go   headings and what is named after its content
//	pairs.go     labels and values; labels.go and languages.go the labels
//	brand.go     the brand from links and titles
//	stock.go     wording for availability
//	spots.go     every sum of money on the page
//	grid.go      blocks that repeat
//	side.go      parts with other items
//	price.go     the sum that is the item's price
//	discount.go  prices that arithmetic ties together
//	results.go   pages with many offers
//	photos.go    pictures of the item; views.go what they show
//	saved.go     where a browser saved them
//	trust.go     which item is the page's own, which price is in force
//	settle.go    which candidate of a field wins
//	none.go      why a page holds no listing
//	pages.go     the user's own selectors
//	place.go     byte ranges of elements
//
// Nothing here opens a file or the network: a reference of the page goes to
// [Resources], and a reference to another host is never followed.
package savedpage
