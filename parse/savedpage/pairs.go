package savedpage

import (
	"strings"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
)

// pairs reads labels with their values, however the page sets them: definition
// lists, two-column tables, lists, "Label: value" lines. A label is a text of
// its own or the part of a text before a colon; its value is the rest of the
// text or the text of the next neighbour.
func (r *reader) pairs() {
	p := r.p
	const outside = side | tile | chrome | basket | review | crumbs | noText | hidden | popup
	for _, i := range p.texts {
		x := &p.nodes[i]
		if x.ctx&outside != 0 || len(x.n.Data) > 400 {
			continue
		}
		s := strings.TrimSpace(x.n.Data)
		if len(s) < 2 || len(s) > 300 {
			continue
		}
		r.pair(i, s)
	}
}

func (r *reader) pair(i int32, s string) {
	label, rest, colon := cutColon(s)
	if len(label) > maxLabel && (colon || !strings.ContainsFunc(s, betweenPairs)) {
		return
	}
	name, ok := labelField(label)
	if !ok && colon {
		name, ok = ownedLabel(label)
	}
	switch {
	case ok && strings.TrimSpace(rest) != "":
		r.inLine(name, squeeze(rest), i)
	case ok:
		parent := r.p.tag(r.p.nodes[i].parent)
		if !colon && (parent == atom.A || parent == atom.Button || parent == atom.Option) {
			return
		}
		value, at := r.neighbour(i)
		if !colon && parent == atom.P && !strings.Contains(label, " ") && !r.boxed(i, label, value) {
			return
		}
		if _, another := labelField(value); another || value == "" {
			return
		}
		trust := trustLabel
		if !colon && parent != atom.Th && parent != atom.Dt && parent != atom.Td {
			trust -= 60
		}
		r.putPair(name, value, at, trust)
	case !colon:
		for _, part := range strings.FieldsFunc(s, betweenPairs) {
			r.prefixed(i, strings.TrimSpace(part))
		}
		if strings.IndexByte(s, '%') >= 0 && len(s) < 80 {
			if _, ok := positive.Find(phrase.Fold(s), 0); ok {
				r.putPair(listing.SellerFeedback, s, i, trustPage)
			}
		}
	}
}

// betweenPairs tells the marks that part labels with their values in one line.
func betweenPairs(c rune) bool { return c == '|' || c == '·' || c == '•' }

// positive are the words beside a seller's share of good ratings. Common
// practice, no source.
var positive = phrase.NewSet(phrase.Of(true, "", `positive, positive feedback, positiv, positive bewertungen, évaluations positives, positifs, votos positivos,
	positivos, valoraciones positivas, feedback positivi, positivi, pozytywnych, pozytywne, pozytywnych opinii, положительных, положительных отзывов, 好评, 好评率`))

// ownedLabel reads a label of an identifier behind the name of its owner:
// "Market item number".
func ownedLabel(label string) (listing.Name, bool) {
	_, rest, ok := strings.Cut(strings.TrimSpace(label), " ")
	if !ok {
		return 0, false
	}
	name, ok := labelField(rest)
	switch name {
	case listing.ListingID, listing.SKU, listing.PartNumber, listing.GTIN, listing.SerialNumber, listing.OENumbers:
		return name, ok
	}
	return 0, false
}

// inLine stores the value behind a label and, of a number, those of further
// labels in the same line: "AB12345 EAN 4006381333931, 3 available".
func (r *reader) inLine(name listing.Name, rest string, i int32) {
	for more := true; more; {
		value, next, after := rest, listing.NoField, ""
		if isNumber(name) {
			value, next, after = ownValue(rest)
		}
		if name == listing.GTIN || name == listing.ListingID {
			value, _, _ = strings.Cut(value, ",")
		}
		r.putPair(name, value, i, trustLabel)
		name, rest, more = next, after, next != listing.NoField
	}
}

func isNumber(n listing.Name) bool {
	switch n {
	case listing.SKU, listing.PartNumber, listing.GTIN, listing.ListingID, listing.SerialNumber:
		return true
	}
	return false
}

// ownValue cuts the value of a number off where the next label of the line
// begins, and gives that label's field and what stands behind it.
func ownValue(text string) (own string, next listing.Name, after string) {
	for at, c := range text {
		if at == 0 || c != ' ' || !hasDigit(text[:at]) {
			continue
		}
		if n, rest := labelAhead(strings.TrimLeft(text[at:], " ,;|·•(")); n != listing.NoField {
			return strings.TrimRight(text[:at], " ,;|·•("), n, rest
		}
	}
	return text, listing.NoField, ""
}

// labelAhead finds the label that a text begins with, before a colon or as one
// word or two before a number, and what stands behind it.
func labelAhead(s string) (listing.Name, string) {
	if label, rest, colon := cutColon(s); colon {
		if n, ok := labelField(label); ok && strings.TrimSpace(rest) != "" {
			return n, strings.TrimSpace(rest)
		}
	}
	one, rest, _ := strings.Cut(s, " ")
	two, rest2, _ := strings.Cut(rest, " ")
	for _, c := range [...][2]string{{one, rest}, {one + " " + two, rest2}} {
		value, _, _ := strings.Cut(c[1], " ")
		if n, ok := labelField(c[0]); ok && isNumber(n) && hasDigit(value) {
			return n, c[1]
		}
	}
	return listing.NoField, ""
}

func cutColon(s string) (label, rest string, colon bool) {
	if label, rest, ok := strings.Cut(s, ":"); ok {
		return label, rest, true
	}
	return strings.Cut(s, "：")
}

// prefixed reads "Art.-Nr. 4711" and "Sold by Acme": a label that a number or,
// for a seller, a name follows without a colon.
func (r *reader) prefixed(i int32, s string) {
	if len(s) > 80 {
		return
	}
	s = strings.ReplaceAll(s, "\u00a0", " ")
	if k := strings.LastIndexByte(s, ' '); k > 0 && hasDigit(s[k:]) {
		switch name, _ := labelField(s[:k]); name {
		case listing.SKU, listing.PartNumber, listing.GTIN, listing.ListingID, listing.SerialNumber, listing.SellerSince:
			r.putPair(name, strings.TrimLeft(s[k:], " #"), i, trustLabel-20)
			return
		}
	}
	one := strings.IndexByte(s, ' ')
	if one < 0 {
		return
	}
	two := strings.IndexByte(s[one+1:], ' ')
	if two < 0 {
		return
	}
	two += one + 1
	switch name, _ := labelField(s[:two]); name {
	case listing.Seller, listing.ShipsFrom, listing.SellerLocation, listing.CountryOfOrigin:
		if len(s)-two < 60 {
			r.putPair(name, s[two:], i, trustLabel-40)
		}
	}
}

// neighbour gives the text that follows node i: the next sibling with text, of
// the node or of an ancestor that holds nothing else.
func (r *reader) neighbour(i int32) (string, int32) {
	p := r.p
	x := i
	for up := 0; up < 4; up++ {
		parent := p.nodes[x].parent
		if parent < 0 {
			return "", 0
		}
		for j := p.nodes[x].end; j < p.nodes[parent].end; j = p.nodes[j].end {
			y := &p.nodes[j]
			if y.n.Type == html.CommentNode || y.own&(hidden|noText) != 0 {
				continue
			}
			text := ""
			if y.n.Type == html.TextNode {
				text = squeeze(y.n.Data)
			} else if y.n.Type == html.ElementNode {
				text = p.text(j, 400)
			}
			text = strings.TrimLeft(text, ":： \u00a0")
			if text != "" {
				return text, j
			}
		}
		if p.nodes[parent].n.DataAtom == atom.Tr || p.nodes[parent].n.DataAtom == atom.Ul || isBody(p.nodes[parent].n) {
			return "", 0
		}
		if text := p.text(parent, 80); len(text) > len(strings.TrimSpace(p.nodes[i].n.Data))+3 {
			return "", 0 // something else stands before the label
		}
		x = parent
	}
	return "", 0
}

// boxed reports whether label and value are all that a part of the page holds:
// one word alone in a paragraph may else be a heading.
func (r *reader) boxed(i int32, label, value string) bool {
	box := r.p.nodes[r.p.nodes[i].parent].parent
	return box > 0 && len(value) <= maxLabel && r.p.text(box, 2*maxLabel+2) == squeeze(label)+" "+value
}

func isBody(n *html.Node) bool { return n.DataAtom == atom.Body || n.DataAtom == atom.Html }

// pairLimit bounds the values of short fields: a longer text is not meant.
var pairLimit = map[listing.Name]int{
	listing.Brand: 60, listing.Model: 80, listing.SKU: 50, listing.PartNumber: 60, listing.GTIN: 40, listing.ListingID: 40,
	listing.Seller: 80, listing.SerialNumber: 60, listing.Condition: 80, listing.CountryOfOrigin: 60, listing.Price: 60,
	listing.PriceWas: 60, listing.Availability: 80, listing.QuantityAvailable: 40, listing.SellerLocation: 120,
	listing.ShipsFrom: 120, listing.MinimumOrder: 40, listing.LotQuantity: 40, listing.SellerFeedback: 60,
	listing.SellerFeedbackCount: 40, listing.SellerSince: 40, listing.DateCode: 40, listing.UnitType: 80,
	listing.CoreDeposit: 60, listing.Shipping: 120, listing.Contact: 80,
}

func (r *reader) putPair(name listing.Name, value string, i int32, trust int) {
	value = strings.Trim(strings.TrimSpace(value), "〉〈|›»«>")
	if limit, ok := pairLimit[name]; ok && len(value) > limit {
		return
	}
	switch name {
	case listing.SKU, listing.PartNumber, listing.GTIN, listing.ListingID:
		if strings.Count(value, " ") > 4 || !hasDigit(value) {
			return
		}
	case listing.Price, listing.PriceWas, listing.Shipping, listing.CoreDeposit:
		if !strings.ContainsAny(value, "0123456789") && name != listing.Shipping {
			return
		}
		if name == listing.Price && r.p.nodes[i].ctx&(notThePrice|struck|oldPrice) != 0 {
			return
		}
		trust -= 30
	case listing.Description:
		trust -= 100
	}
	if name == listing.SKU && trust >= trustLabel-20 && !strings.Contains(value, " ") {
		trust = trustJSON + 20 // the number that a buyer reads and can quote; markup often holds an inner one
	}
	r.put(candidate{name: name, raw: value, source: srcPage, path: r.p.path(r.element(i)), node: r.element(i), trust: trust})
}

// element gives the element of a text node, and an element itself.
func (r *reader) element(i int32) int32 {
	if r.p.nodes[i].n.Type == html.ElementNode || r.p.nodes[i].parent < 0 {
		return i
	}
	return r.p.nodes[i].parent
}
