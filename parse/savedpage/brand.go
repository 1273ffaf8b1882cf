package savedpage

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/net/html/atom"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
)

// brandLinks reads links near the heading that lead to a brand's page.
func (r *reader) brandLinks() {
	p := r.p
	if p.title < 0 {
		return
	}
	for i := max(p.title-60, 0); i < min(p.title+150, int32(len(p.nodes))); i++ {
		x := &p.nodes[i]
		if x.n.DataAtom != atom.A || x.ctx&(side|tile|chrome|basket|review|crumbs|noText|hidden|popup|grid) != 0 {
			continue
		}
		if href := p.href(x.n); len(href) < 500 && leadsToBrand(href) {
			r.putNamed(listing.Brand, i, 40)
		}
	}
}

func leadsToBrand(href string) bool {
	for _, w := range strings.FieldsFunc(strings.ToLower(href), func(c rune) bool { return strings.ContainsRune("/?&=-_.", c) }) {
		switch w {
		case "brand", "brands", "manufacturer", "manufacturers", "marke", "marken", "hersteller", "marque", "marques", "marca", "marcas",
			"marchio", "marka", "producent", "vyrobce", "znacka", "brend":
			return true
		}
	}
	return false
}

// moreOf are the words of links that lead to a brand's page, before or behind
// its name. Common practice, no source.
var moreOf = phrase.NewSet(phrase.Of(true, "", `shop more from, shop all from, more from, more by, see more from, view all from, see all from, all products from, all products by, other products from, other products by, visit the,
	mehr von, alles von, alle produkte von, alle artikel von, weitere artikel von, weitere produkte von, zur marke, tous les produits, plus de produits de, voir plus de, de la marque, más de, ver más de, más productos de, ver todo de, de la marca,
	altri prodotti di, tutti i prodotti di, vedi altro di, więcej od, zobacz więcej od, wszystkie produkty marki, produkty marki, więcej produktów marki, все товары бренда, другие товары бренда, все товары, mais de, ver mais de, ver mais artigos da marca, mais produtos de, ver todos os produtos da marca,
	meer van, alles van, bekijk alles van, mer från, se allt från, mere fra, se alt fra, lisää merkiltä, další produkty značky, ďalšie produkty značky, více od, viac od, vsi izdelki blagovne znamke, další od`))

// brandOf cuts the words off that stand around the name in a link to a brand's
// page: "Shop more from Acme", "All items of the brand: Acme".
func brandOf(text string) string {
	for range 2 {
		f := phrase.Fold(text)
		m, ok := moreOf.Find(f, 0)
		if !ok || m.Start > 0 || m.End >= len(f.Folded) {
			break
		}
		rest := strings.TrimLeft(f.Quote(m.End, len(f.Folded)), " :：")
		if rest == "" || !strings.ContainsAny(text, " :：") {
			break
		}
		text = rest
	}
	for _, end := range [...]string{" store", " Store", " products", " shop"} {
		if name, ok := strings.CutSuffix(text, end); ok && strings.Contains(text, " ") {
			return name
		}
	}
	return text
}

// headingBrand reads the brand that stands before the name of the item: the
// page's title says "Acme Turbocharger TX-100", the heading "Turbocharger
// TX-100", and "Acme" is a text of its own beside it or the first part of the
// heading.
func (r *reader) headingBrand() {
	p := r.p
	if p.title < 0 || r.heading == "" {
		return
	}
	first := p.firstText(p.title)
	if first > 0 {
		name := squeeze(p.nodes[first].n.Data)
		whole := p.nodes[first].parent == p.title
		if !whole && name != r.heading && p.nodes[p.nodes[first].parent].parent == p.title && r.startsTitle(name, strings.TrimSpace(strings.TrimPrefix(r.heading, name))) {
			r.putBrand(name, first, "the heading's first part, which the page's title begins with as well")
			return
		}
	}
	for _, i := range within(p.texts, max(p.title-40, 0), min(p.nodes[p.title].end+40, int32(len(p.nodes)))) {
		x := &p.nodes[i]
		if x.ctx&(side|tile|chrome|basket|review|noText|hidden|popup|grid) != 0 || p.contains(p.title, i) || len(x.n.Data) > 80 {
			continue
		}
		if name := squeeze(x.n.Data); r.startsTitle(name, r.heading) {
			r.putBrand(name, i, "beside the heading, and before it in the page's title")
			return
		}
	}
}

// startsTitle reports whether the page's title is the name, then the rest.
func (r *reader) startsTitle(name, rest string) bool {
	if len(name) < 2 || len(name) > 40 || strings.Count(name, " ") > 3 || len(rest) < 4 || letters(name) == 0 {
		return false
	}
	for _, t := range [...]string{r.facts.title, r.facts.ogTitle} {
		if after, ok := cutFold(t, name); ok {
			if _, ok := cutFold(strings.TrimLeft(after, " -–—|:,"), rest); ok && after != "" && !isLetter(after) {
				return true
			}
		}
	}
	return false
}

// cutFold cuts a prefix off, whatever its case.
func cutFold(s, prefix string) (string, bool) {
	if len(s) < len(prefix) || !strings.EqualFold(s[:len(prefix)], prefix) {
		return s, false
	}
	return s[len(prefix):], true
}

func isLetter(s string) bool {
	c, _ := utf8.DecodeRuneInString(s)
	return unicode.IsLetter(c) || unicode.IsDigit(c)
}

// firstText gives the first text of an element, -1 when it has none.
func (p *page) firstText(i int32) int32 {
	if t := within(p.texts, i, p.nodes[i].end); len(t) > 0 {
		return t[0]
	}
	return -1
}

func (r *reader) putBrand(name string, i int32, why string) {
	if _, label := labelField(name); label {
		return
	}
	e := r.element(i)
	r.put(candidate{name: listing.Brand, raw: name, source: srcPage, path: r.p.path(e), node: e, trust: trustLoose, why: why})
}

// stateBrand reads the brand from the state in scripts, wherever in it: of all
// that it names, the one that the heading begins with is the item's.
func (r *reader) stateBrand() {
	name := firstOf(r.itemName, r.heading)
	if name == "" {
		return
	}
	seen := 0
	for _, i := range r.p.scripts {
		n := r.p.nodes[i].n
		if n.FirstChild == nil || isLD(attr(n, "type")) {
			continue
		}
		for rest := r.p.script(n); seen < maxBrands; {
			k := bytes.Index(rest, []byte("rand"))
			if k < 0 {
				break
			}
			rest = rest[k+len("rand"):]
			value, ok := brandValue(string(rest[:min(len(rest), 120)]))
			if !ok {
				continue
			}
			seen++
			if beginsWith(name, value) {
				r.put(candidate{name: listing.Brand, raw: value, source: srcState, path: "script brand", node: i, trust: trustLoose - 30, why: "the heading begins with it"})
				return
			}
		}
	}
}

// maxBrands bounds how many names of brands are compared with the heading.
const maxBrands = 500

// brandValue reads what follows "brand" as a key of an object: its text, or the
// name of the object it holds.
func brandValue(s string) (string, bool) {
	s = strings.ReplaceAll(s, `\"`, `"`)
	for _, key := range [...]string{"Name", "name", "_name"} {
		if rest, ok := strings.CutPrefix(s, key); ok {
			s = rest
			break
		}
	}
	s = strings.TrimLeft(s, `"'`)
	s, ok := strings.CutPrefix(strings.TrimLeft(s, " "), ":")
	if !ok {
		return "", false
	}
	s = strings.TrimLeft(s, " ")
	if strings.HasPrefix(s, "{") {
		_, rest, ok := strings.Cut(s, `name"`)
		if !ok {
			return "", false
		}
		s = strings.TrimLeft(strings.TrimLeft(rest, " "), ": ")
	}
	if s == "" || s[0] != '"' && s[0] != '\'' {
		return "", false
	}
	value, _, ok := strings.Cut(s[1:], s[:1])
	return plain(value), ok && len(value) > 1 && len(value) <= 50 && !strings.ContainsAny(value, "\\{}<>")
}

// beginsWith reports whether a name begins with all words of a brand and has
// more, whatever their case and the marks between them.
func beginsWith(name, brand string) bool {
	x, y := strings.FieldsFunc(strings.ToLower(name), apart), strings.FieldsFunc(strings.ToLower(brand), apart)
	if len(y) == 0 || len(x) <= len(y) {
		return false
	}
	for k := range y {
		if x[k] != y[k] {
			return false
		}
	}
	return true
}

func apart(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) }
