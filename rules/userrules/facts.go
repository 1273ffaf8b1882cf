package userrules

import (
	"slices"
	"strconv"
	"strings"

	"counterfoil/parse/listing"
)

// Type is what a fact holds.
type Type string

// The types, with their Go values.
const (
	Text   Type = "text"          // string
	Number Type = "number"        // float64
	YesNo  Type = "yes or no"     // bool
	Words  Type = "list of texts" // []string
)

// Units that a sentence prints in their own way; any other is only told in the
// table.
const (
	UnitShare    = "share of 1"             // may be printed as a percentage
	UnitOwn      = "listing's currency"     // money as the listing states it
	UnitCompared = "currency of comparison" // the run's, the listing's without a rate
)

// Fact is one thing that a condition may name. Its table is all there is: the
// types that conditions are checked against and the printed list are made from
// it.
type Fact struct {
	Name    string
	Type    Type
	Unit    string // "" for none
	Meaning string
	// Lacks says what is lacking when the fact is unknown: "a serial number".
	// "" for a fact that is always known.
	Lacks string
	Ask   string // what to ask the seller for, "" when the seller cannot help
	// Field is quoted as evidence when a condition names the fact.
	Field listing.Name
}

// Facts lists the facts in the order in which they are printed.
var Facts = slices.Concat(fieldFacts(), []Fact{
	{Name: "listing.claim", Type: Text, Meaning: "what the texts say the item is: genuine, compatible, hedged, copy, contradictory or silent", Field: listing.Title},
	{Name: "listing.as_maker", Type: YesNo, Meaning: "the listing offers the item as the maker's own part, in words or by using the maker's name as its brand", Field: listing.Title},
	{Name: "listing.part", Type: Text, Meaning: "the resolved part", Lacks: "a part number that could be resolved", Ask: "the full part number as stamped on the plate", Field: listing.PartNumber},
	{Name: "listing.marketplace", Type: Text, Meaning: "the host of the listing's address, without www", Lacks: "the listing's address", Field: listing.URL},

	{Name: "price.listed", Type: Number, Unit: UnitOwn, Meaning: "the price as listed", Lacks: "a price with a currency", Ask: "the price with shipping to your address", Field: listing.Price},
	{Name: "price.shipping", Type: Number, Unit: UnitOwn, Meaning: "the shipping", Lacks: "the shipping with a currency", Ask: "the price with shipping to your address", Field: listing.Shipping},
	{Name: "price.core_deposit", Type: Number, Unit: UnitOwn, Meaning: "the refundable deposit for the old unit", Lacks: "a core deposit with a currency", Ask: "whether a core deposit is charged", Field: listing.CoreDeposit},
	{Name: "price.was", Type: Number, Unit: UnitOwn, Meaning: "the struck-out earlier price", Lacks: "an earlier price with a currency", Field: listing.PriceWas},
	{Name: "price.landed", Type: Number, Unit: UnitCompared, Meaning: "item and shipping, divided by the lot quantity, without a core deposit; at least this much when price.at_least holds", Lacks: "a fixed price of one part that can be compared", Ask: "the price with shipping to your address", Field: listing.Price},
	{Name: "price.at_least", Type: YesNo, Meaning: "something that is to be paid was not observed, such as the shipping, so price.landed is a lower bound", Lacks: "a fixed price of one part that can be compared", Ask: "the price with shipping to your address", Field: listing.Price},
	{Name: "price.ratio", Type: Number, Unit: UnitShare, Meaning: "price.landed divided by market.median", Lacks: "a price that can be compared with enough offers of other sellers", Field: listing.Price},
	{Name: "price.z", Type: Number, Meaning: "modified z-score of the logarithm of price.landed, 0.6745 (x - median) / MAD; negative below the median", Lacks: "a price that can be scored against enough offers of other sellers", Field: listing.Price},
	{Name: "price.reference_ratio", Type: Number, Unit: UnitShare, Meaning: "price.landed divided by market.reference", Lacks: "an authorised price that the price can be compared with", Field: listing.Price},

	{Name: "market.n", Type: Number, Unit: "sellers", Meaning: "other seller groups with comparable offers of the same part, unit type, condition and claim; see market.widened", Lacks: "a fixed price of one part that can be compared", Field: listing.Price},
	{Name: "market.band", Type: Text, Meaning: "what market.n allows to say: none, ratio-only, weak or full", Lacks: "a fixed price of one part that can be compared", Field: listing.Price},
	{Name: "market.median", Type: Number, Unit: UnitCompared, Meaning: "median of their landed prices", Lacks: "enough comparable offers of other sellers", Field: listing.Price},
	{Name: "market.widened", Type: YesNo, Meaning: "offers of any claim but compatible, copy and hedged are compared with, since too few sellers make the same claim", Lacks: "a fixed price of one part that can be compared", Field: listing.Price},
	{Name: "market.two_groups", Type: YesNo, Meaning: "the market falls into two price groups, so that its median says little", Lacks: "enough comparable offers of other sellers", Field: listing.Price},
	{Name: "market.reference", Type: Number, Unit: UnitCompared, Meaning: "authorised price of the same part, unit type and condition", Lacks: "an authorised price for the part (--reference)", Field: listing.PartNumber},

	{Name: "quantity.available", Type: Number, Unit: "units", Meaning: "units in stock", Lacks: "the quantity available", Ask: "how many units are in stock", Field: listing.QuantityAvailable},
	{Name: "quantity.lot", Type: Number, Unit: "units", Meaning: "units that the price buys", Lacks: "the lot quantity", Ask: "how many units the price buys", Field: listing.LotQuantity},
	{Name: "quantity.minimum", Type: Number, Unit: "units", Meaning: "least quantity of an order", Lacks: "the minimum order", Ask: "the minimum order", Field: listing.MinimumOrder},

	{Name: "serial.sellers", Type: Number, Unit: "sellers", Meaning: "other seller groups of the batch that show the listing's serial", Lacks: "a usable serial number at a named seller", Ask: "the serial number on the plate", Field: listing.SerialNumber},
	{Name: "serial.placeholder", Type: YesNo, Meaning: "what stands in a serial's place is no serial: a filler, a counting row, a masked number", Lacks: "a serial number", Ask: "the serial number on the plate", Field: listing.SerialNumber},

	{Name: "photos.known", Type: YesNo, Meaning: "the input shows which photos the listing has", Field: listing.PhotoFiles},
	{Name: "photos.count", Type: Number, Unit: "photos", Meaning: "photos of the listing", Lacks: "to see which photos the listing has", Ask: "photos of the unit itself", Field: listing.PhotoFiles},
	{Name: "photos.with_view", Type: Number, Unit: "photos", Meaning: "photos of which is known what they show", Lacks: "to see which photos the listing has", Ask: "photos of the unit itself", Field: listing.PhotoFiles},
	{Name: "photos.views", Type: Words, Meaning: "views known to be shown, such as serial-plate or box-label; a photo of which nothing is known may show more", Lacks: "photos with a known view (tag, caption or file name)", Ask: "a photo of the serial plate, in focus", Field: listing.PhotoFiles},
	{Name: "photos.sellers", Type: Number, Unit: "sellers", Meaning: "other seller groups of the batch that show one of the listing's pictures, catalogue pictures included", Lacks: "a photo that could be fingerprinted, at a named seller", Ask: "photos of the unit itself", Field: listing.PhotoFiles},

	{Name: "seller.group_size", Type: Number, Unit: "accounts", Meaning: "accounts of the batch that count as one with the seller, the seller included", Lacks: "a named seller", Ask: "the trading name and address of the seller", Field: listing.Seller},
	{Name: "seller.listings", Type: Number, Unit: "listings", Meaning: "listings of that group in the batch", Lacks: "a named seller", Ask: "the trading name and address of the seller", Field: listing.Seller},
	{Name: "seller.quantity", Type: Number, Unit: "units", Meaning: "sum of the quantities available that the group's listings state", Lacks: "a named seller with a stated quantity", Ask: "how many units are in stock", Field: listing.Seller},
	{Name: "seller.account_days", Type: Number, Unit: "days", Meaning: "greatest possible age of the account at the capture, at the run time when no capture time is stated", Lacks: "since when the seller's account exists", Field: listing.SellerSince},
	{Name: "seller.feedback", Type: Number, Unit: "percent", Meaning: "share of positive ratings, 0 to 100", Lacks: "the seller's feedback", Field: listing.SellerFeedback},
	{Name: "seller.feedback_count", Type: Number, Unit: "ratings", Meaning: "number of ratings", Lacks: "the number of the seller's ratings", Field: listing.SellerFeedbackCount},
})

// fieldMeaning says in words what each field of a listing is, and, after a
// bar, what to ask the seller for when it was not observed.
var fieldMeaning = map[listing.Name]string{
	listing.ListingID:           "the marketplace's number of the listing",
	listing.URL:                 "its address",
	listing.CapturedAt:          "when it was captured, as the input states it",
	listing.Title:               "its title",
	listing.Brand:               "the brand field|who made the unit",
	listing.Model:               "the model or vehicle",
	listing.PartNumber:          "the part number|the full part number as stamped on the plate",
	listing.OENumbers:           "further numbers it names, with '; ' between them",
	listing.GTIN:                "the GTIN|the bar code number on the box",
	listing.Condition:           "new, new-old-stock, remanufactured, rebuilt, used, core or unknown|whether the unit is new, remanufactured or used",
	listing.UnitType:            "complete, chra, kit, component or unknown|whether the price is for the complete unit",
	listing.Price:               "the price, as a text; price.listed is the number|the price with shipping to your address",
	listing.Currency:            "the ISO 4217 code of the currency",
	listing.Shipping:            "the shipping, as a text; price.shipping is the number|the price with shipping to your address",
	listing.CoreDeposit:         "the core deposit, as a text; price.core_deposit is the number|whether a core deposit is charged",
	listing.QuantityAvailable:   "the quantity available, as a text; quantity.available is the number|how many units are in stock",
	listing.LotQuantity:         "the lot quantity, as a text; quantity.lot is the number|how many units the price buys",
	listing.Seller:              "the displayed name of the seller|the trading name and address of the seller",
	listing.SellerID:            "the seller's id on the marketplace",
	listing.SellerLocation:      "where the seller is|the trading name and address of the seller",
	listing.SellerFeedback:      "the share of positive ratings, as a text; seller.feedback is the number",
	listing.SellerFeedbackCount: "the number of ratings, as a text; seller.feedback_count is the number",
	listing.SellerSince:         "since when the account exists; seller.account_days is its age",
	listing.ShipsFrom:           "the country it ships from|where the unit ships from",
	listing.CountryOfOrigin:     "the country of origin",
	listing.SerialNumber:        "the serial number|the serial number on the plate",
	listing.DateCode:            "the date code|the date code on the plate",
	listing.Warranty:            "the warranty|the warranty terms",
	listing.Returns:             "the return terms|the return terms",
	listing.Description:         "the description|a full description of the unit",
	listing.PhotoFiles:          "the names of the photo files, with '; ' between them",
	listing.PhotoViews:          "the views tagged for the listing as a whole, with '; ' between them",
	listing.PlateSerial:         "the serial on the plate|a photo of the serial plate, in focus",
	listing.PlatePartNumber:     "the part number on the plate|a photo of the serial plate, in focus",
	listing.BoxSerial:           "the serial on the box label|a photo of the box label",
	listing.SKU:                 "the seller's own number of the item",
	listing.Availability:        "InStock, OutOfStock or another word of the schema.org enumeration ItemAvailability",
	listing.PriceWas:            "the struck-out earlier price, as a text; price.was is the number",
	listing.PriceKind:           "fixed, from, bid or request",
	listing.PriceTax:            "included or excluded",
	listing.MinimumOrder:        "the minimum order, as a text; quantity.minimum is the number|the minimum order",
	listing.Contact:             "phone, mail or messenger as read",
	listing.Language:            "the language tag that the page states",
}

// fieldFacts makes a text fact of each field of a listing.
func fieldFacts() []Fact {
	var list []Fact
	for _, n := range listing.Names() {
		meaning, ask, _ := strings.Cut(fieldMeaning[n], "|")
		list = append(list, Fact{Name: "listing." + n.String(), Type: Text, Meaning: meaning,
			Lacks: "the field " + n.String(), Ask: ask, Field: n})
	}
	return list
}

var factByName = func() map[string]int {
	m := make(map[string]int, len(Facts))
	for i := range Facts {
		m[Facts[i].Name] = i
	}
	return m
}()

// TextLimit is the length in bytes to which a text is cut before a condition
// sees it.
const TextLimit = 64 << 10

// Cut brings a text to at most TextLimit bytes, at the end of a character.
func Cut(s string) string {
	if len(s) <= TextLimit {
		return s
	}
	return strings.ToValidUTF8(s[:TextLimit], "")
}

// Print gives a value as sentences print it. currency is that of a fact whose
// unit is money.
func (f *Fact) Print(value any, currency string) string {
	switch v := value.(type) {
	case string:
		return listing.Shorten(v, valueLimit)
	case float64:
		if f.Unit == UnitOwn || f.Unit == UnitCompared {
			if a, err := listing.AmountOf(v, currency); err == nil {
				return a.String() + " " + currency
			}
		}
		return decimals(v)
	case bool:
		if v {
			return "yes"
		}
		return "no"
	case []string:
		return listing.Shorten(strings.Join(v, ", "), valueLimit)
	}
	return ""
}

// valueLimit is the length in runes to which a value in a sentence is cut.
const valueLimit = 120

// decimals prints a number with at most two decimals.
func decimals(x float64) string {
	s := strconv.FormatFloat(x, 'f', 2, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}
