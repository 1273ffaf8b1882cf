package savedpage

import (
	"bytes"
	"strings"
	"unicode"

	"golang.org/x/net/html/atom"
)

// mark is what the name of an element, its class or its heading says about
// the part of the page it holds.
type mark uint32

const (
	hidden     mark = 1 << iota
	ariaHidden      // hidden from assistive software: often a picture of a price
	noText          // script, style: no text for the reader
	struck          // struck-out text
	oldPrice        // names an earlier or a recommended price
	priceName       // names a price
	salePrice       // names the price in force among several
	unitPrice       // price per kilogram, litre, metre
	shipping        // delivery cost
	instalment      // monthly rates, financing
	saving          // the amount saved
	side            // other items than the page's own
	chrome          // header, navigation, footer
	basket          // the buyer's basket
	review          // opinions of buyers
	crumbs          // breadcrumb trail
	gallery         // pictures of the item
	thumb           // small copies
	decor           // logos, icons, badges
	slide           // carousel, which may show the item or others
	skuName         // names an item number
	sellerName      // names the seller
	brandName       // names the brand
	stockName       // names the availability
	buyName         // the button that buys
	descName        // describes the item
	button          // looks like a button
	popup           // dialog over the page
	tile            // one of several items: card, tile
	titleName       // names the item's title
	pickup          // collection in a shop
	grid            // found to be a block of another offer
)

const (
	// wholePage are marks that mean nothing on an element that holds the item.
	wholePage = side | slide | chrome | basket | review | popup | tile | oldPrice | shipping | instalment |
		unitPrice | saving | decor | thumb | crumbs
	// notInherited are marks of the element itself only.
	notInherited = priceName | salePrice | skuName | sellerName | brandName | stockName | buyName | button | titleName
	// notThePrice are places where a sum is not the price of the item.
	notThePrice = shipping | instalment | unitPrice | saving | chrome | basket | review | crumbs | noText
)

func tagMarks(a atom.Atom) mark {
	switch a {
	case atom.Script, atom.Style, atom.Template, atom.Noscript, atom.Iframe, atom.Svg, atom.Textarea, atom.Head:
		return noText
	case atom.S, atom.Strike, atom.Del:
		return struck
	case atom.Nav, atom.Footer:
		return chrome
	}
	return 0
}

// nameWords are words of class names, ids and test hooks. Common practice of
// shop templates, no source.
var nameWords = wordTable(map[mark]string{
	priceName: `price prices pricing preis preise prix precio precios preco precos prezzo prezzi cena ceny cene
		cijena pris prijs hinta kaina ar pret fiyat harga price-box pricebox amount money prc`,
	oldPrice: `old oldprice was wasprice before strike striked strikethrough linethrough crossed crossedout rrp msrp uvp
		listprice retailprice previous previousprice statt streich streichpreis alt altpreis ancien anterior antes stara
		staracena barre overline regularprice compareprice compareatprice originalprice normalprice ordinaryprice
		superseded rrpprice prixbarre pricebefore beforeprice priceold pricewas pricelist`,
	salePrice: `sale special specialprice current currentprice actual final finalprice now nowprice promo promoprice
		ourprice saleprice sellingprice buynow discounted newprice salesprice aktuell actualprice pricenow pricecurrent`,
	unitPrice:  `unitprice perunit priceperunit baseprice grundpreis unitofmeasure`,
	pickup:     `pickup collect collection clickcollect clickandcollect showroom instore storestock storeavailability`,
	shipping:   `shipping shipment delivery deliver versand lieferung livraison envio envios dostawa dostavka spedizione postage freight`,
	instalment: `installment installments instalment instalments finance financing monthly rate rates rata raty raten credit credito leasing cuotas cuota parcela parcelas payin`,
	saving:     `saving savings save saved discount-amount youssave ersparnis economie ahorro rabatt discountpercent cashback loyalty points bonus`,
	side: `related similar recommend recommends recommended recommendation recommendations recommender recs upsell upselling
		crosssell crossselling crosssale alsobought alsoviewed alsolike sponsored recently recent recentlyviewed suggestion
		suggestions suggested alternatives alternative accessories accessory complementary youmaylike lastviewed viewed
		bestseller bestsellers advert adverts advertisement ads bundle bundles lookalike completethelook completelook
		aehnliche aehnlich zubehoer empfehlungen similaires similares podobne rekomendacje crossell promoted`,
	chrome:  `footer nav navbar navigation menu sitemap topbar megamenu subnav masthead`,
	basket:  `cart minicart basket warenkorb panier carrito koszyk kosik checkout minibasket`,
	review:  `review reviews rating ratings comment comments bewertung bewertungen questions answers`,
	crumbs:  `breadcrumb breadcrumbs crumb crumbs`,
	gallery: `gallery galleria galerie media zoom mainimage productimage productimages imageviewer photos pictures mediagallery`,
	thumb:   `thumb thumbs thumbnail thumbnails`,
	decor:   `logo logos icon icons badge badges payment payments flag flags social avatar sprite emoji`,
	slide:   `carousel slider swiper slick slideshow owl splide glide flickity`,
	skuName: `sku articlenumber artnr artikelnummer productcode itemnumber itemno productid prodid modelnumber
		reference productreference catalognumber kod productno articleno`,
	sellerName: `seller sellername merchant vendor vendorname shopname storename verkaeufer vendeur vendedor sprzedawca soldby`,
	brandName:  `brand brandname marke marque marca marka manufacturer hersteller producer vendorbrand`,
	stockName:  `stock availability available instock outofstock verfuegbarkeit disponibilite disponibilidad lager inventory soldout unavailable`,
	buyName:    `buybox addtocart addtobasket buybutton addcart buy purchase addtobag tocart`,
	descName:   `description beschreibung descripcion longdescription productdescription opis`,
	button:     `btn button`,
	popup:      `modal popup dialog lightbox overlay tooltip offcanvas drawer`,
	tile:       `tile card teaser`,
	titleName:  `title productname producttitle itemtitle heading`,
})

var nameLengths = lengths(nameWords)

// lengths tells, for each first byte, the lengths that words of a table have, one
// bit each: a cheap test, for most names and texts are none of them.
func lengths[T any](words map[string]T) (t [256]uint64) {
	for w := range words {
		t[w[0]] |= 1 << len(w)
	}
	return t
}

// wordMark looks a word of at most 64 bytes up.
func wordMark(w []byte) mark {
	if nameLengths[w[0]]&(1<<len(w)) == 0 {
		return 0
	}
	return nameWords[string(w)]
}

func wordTable(m map[mark]string) map[string]mark {
	t := map[string]mark{}
	for k, s := range m {
		for _, w := range strings.Fields(s) {
			t[strings.ReplaceAll(w, "-", "")] |= k
		}
	}
	return t
}

// nameMarks splits a class attribute into words ("productPrice old-price" is
// product, price, old, price) and looks up each word, each pair and each
// whole name.
func nameMarks(s string) mark { return new(seenNames).read(s) }

// seenNames keeps the marks of attributes and of single names just seen: those
// of menus and tables come again and again.
type seenNames struct{ whole, single [256]seenName }

type seenName struct {
	name string
	mark mark
}

// place is where a text that is not empty is kept.
func place[T string | []byte](s T) byte {
	return byte(len(s)*7 + int(s[len(s)-1])*31 + int(s[len(s)/2])*131)
}

func (seen *seenNames) marks(s string) mark {
	if s == "" || len(s) > maxAttr {
		return 0
	}
	at := &seen.whole[place(s)]
	if at.name != s {
		at.name, at.mark = s, seen.read(s)
	}
	return at.mark
}

func (seen *seenNames) read(s string) mark {
	var m mark
	for i := 0; i < len(s); {
		if isBlank(s[i]) {
			i++
			continue
		}
		start := i
		for i < len(s) && !isBlank(s[i]) {
			i++
		}
		name := s[start:i]
		at := &seen.single[place(name)]
		if at.name != name {
			at.name, at.mark = name, oneName(name)
		}
		m |= at.mark
	}
	if m&oldPrice != 0 && m&priceName != 0 {
		m &^= salePrice
	}
	return m
}

// isBlank tells the white space of HTML.
func isBlank(c byte) bool { return c == ' ' || '\t' <= c && c <= '\r' && c != '\v' }

// oneName reads one name. Its words are put side by side in lower case, so that
// a pair of words and the whole name are parts of the same buffer.
func oneName(name string) mark {
	var buf [64]byte
	var m mark
	prev, start, n, words := 0, 0, 0, 0
	for i := 0; ; i++ {
		kind, end := between, i >= len(name) || n >= len(buf)
		if !end {
			kind = kinds[name[i]]
		}
		if n > start && (kind == between || kind == capital && kinds[name[i-1]] == small && name[i-1] < 0x80) {
			w := buf[start:n]
			m |= wordMark(w)
			if len(w) > 5 && saysPrice(w) {
				m |= priceName
			}
			if words++; words > 1 {
				m |= wordMark(buf[prev:n])
			}
			if words > 2 && m&basket != 0 && bytes.Contains(buf[:n], []byte("addto")) {
				m = m&^basket | buyName // "add-to-basket-form" holds the item
			}
			prev, start = start, n
		}
		if end {
			break
		}
		switch kind {
		case capital:
			buf[n] = name[i] + 'a' - 'A'
			n++
		case small:
			buf[n] = name[i]
			n++
		}
	}
	if words > 2 {
		m |= wordMark(buf[:n])
	}
	return m | headerMark(buf[:n], words)
}

// Kinds of the bytes of names; those above ASCII count as small letters.
const (
	between uint8 = iota
	small
	capital
)

var kinds = func() (t [256]uint8) {
	for c := range t {
		switch {
		case 'A' <= c && c <= 'Z':
			t[c] = capital
		case 'a' <= c && c <= 'z' || c >= 0x80:
			t[c] = small
		}
	}
	return t
}()

func saysPrice(w []byte) bool {
	for _, p := range [...]string{"price", "preis"} {
		if string(w[:5]) == p || string(w[len(w)-5:]) == p {
			return true
		}
	}
	return false
}

// headerMark tells the head of a page ("site-header") from the head of a part
// of it ("product-header", "sticky-header-reference").
func headerMark(whole []byte, words int) mark {
	if words > 2 || !bytes.Contains(whole, []byte("header")) {
		return 0
	}
	for _, w := range [...]string{"product", "item", "detail", "offer", "listing", "title"} {
		if bytes.Contains(whole, []byte(w)) {
			return 0
		}
	}
	return chrome
}

func nameParts(s string) []string {
	var out []string
	start := -1
	var last rune
	for i, r := range s {
		letter := unicode.IsLetter(r)
		if start >= 0 && (!letter || unicode.IsUpper(r) && unicode.IsLower(last)) {
			out = append(out, strings.ToLower(s[start:i]))
			start = -1
		}
		if letter && start < 0 {
			start = i
		}
		last = r
	}
	if start >= 0 {
		out = append(out, strings.ToLower(s[start:]))
	}
	return out
}
