package rules

import (
	"fmt"
	"time"

	"counterfoil/parse/listing"
	"counterfoil/rules/wording"
)

// clearance are words for a stock that is given up, in eight languages. Words
// for goods that left the maker by the back door are no such words: they are a
// stance of the lexicon. Common practice, from memory; native review needed.
var clearance = wording.New(
	"clearance", "clear out", "reduced to clear", "end of line", "closing down", "overstock", "excess stock", "liquidation stock", "discontinued line", "below cost", "old stock",
	"lagerräumung", "lagerauflösung", "räumungsverkauf", "restposten", "sonderposten", "überbestand", "abverkauf", "geschäftsauflösung", "insolvenzware", "sortimentswechsel",
	"déstockage", "fin de série", "fins de série", "liquidation", "surstock", "stock excédentaire", "fermeture du magasin",
	"liquidación", "fin de serie", "exceso de stock", "cierre de almacén", "fin de existencias", "remate",
	"wyprzedaż*", "końcówk* seri*", "likwidacj*", "końcówki magazyn*", "zapas* magazyn*",
	"svendita", "fine serie", "liquidazione", "rimanenz*", "fuori tutto", "sovrastock", "fondo di magazzino",
	"распродаж*", "остатки склада", "складски* остатк*", "складских остатков", "неликвид*", "ликвидаци*", "закрываем направление",
	"清仓", "处理品", "甩卖", "库存处理",
)

// ClearanceTold finds a low price that the seller explains.
var ClearanceTold = &Rule{
	ID: "clearance-told", Family: FamilyPrice, Weight: -5,
	Doc: Doc{
		Title:    "The text explains the price by a clearance",
		Meaning:  "The seller says why the price is low: a stock is given up, a line ends. That is the first innocent explanation of every price rule, and an old account with few units fits it. It is easily said, so it weighs little, and only against findings on the price: an offer against which nothing but its price speaks is then not called suspect.",
		Formula:  fmt.Sprintf("words of clearance on an offer presented as the maker's own, at most %d units, account at least %d months old at the capture; half weight when the age of the account is not observed", clearanceUnits, clearanceMonths),
		Innocent: "This finding speaks for the seller.",
		Ask:      "Ask for the invoice with which the stock was bought.",
		Since:    "1.1",
	},
	Needs: []Need{NeedDescription},
	Run: func(p *Pass) Answer {
		field := listing.Title
		start, end, ok := clearance.FindFolded(p.folded(field))
		if !ok {
			field = listing.Description
			start, end, ok = clearance.FindFolded(p.folded(field))
		}
		switch units, counted := p.Listing.Int(listing.QuantityAvailable); {
		case !ok && !p.Listing.Has(listing.Description):
			return Lacks(NeedDescription)
		case !ok, !p.PresentsAsMaker(), counted && units > clearanceUnits:
			return Silent()
		}
		a := Found("The text explains the price by a clearance.", Quote(p.Listing, field, p.text(field)[start:end]))
		since, known := startOf(p.Listing.Value(listing.SellerSince))
		if !known {
			return a.At(0.5)
		}
		at, ok := startOf(p.Listing.Value(listing.CapturedAt))
		if !ok {
			at = p.AsOf
		}
		if at.Sub(since) < clearanceMonths*30*24*time.Hour {
			return Silent()
		}
		return a
	},
}

// Engineering proposals, common practice, no source.
const (
	clearanceUnits  = 9
	clearanceMonths = 24
)
