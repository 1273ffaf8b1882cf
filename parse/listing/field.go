package listing

// Name identifies one field of a listing. The zero value is no field.
type Name uint8

// The fields of a listing. The text of each constant, as given by
// [Name.String], is also the canonical column name of a table.
const (
	NoField Name = iota
	ListingID
	URL
	CapturedAt // RFC 3339 date or date-time
	Title
	Brand
	Model
	PartNumber
	OENumbers // several numbers joined with "; "
	GTIN
	Condition // one of the Condition words
	UnitType  // one of the Unit words
	Price     // decimal number, full stop as decimal mark, no grouping
	Currency  // ISO 4217 code
	Shipping  // decimal number in the listing's currency
	CoreDeposit
	QuantityAvailable // whole number
	LotQuantity       // whole number: how many units the price buys
	Seller
	SellerID
	SellerLocation
	SellerFeedback      // share of positive ratings, 0 to 100
	SellerFeedbackCount // number of ratings
	SellerSince         // RFC 3339 date, or year, or year and month
	ShipsFrom
	CountryOfOrigin
	SerialNumber
	DateCode
	Warranty
	Returns
	Description
	PhotoFiles // several names joined with "; "
	PhotoViews // views the user tagged for the listing as a whole, joined with "; "
	PlateSerial
	PlatePartNumber
	BoxSerial
	SKU
	Availability // one of the Availability words
	PriceWas     // struck-out earlier price, same form as Price
	PriceKind    // one of the PriceKind words
	PriceTax     // one of the Tax words
	MinimumOrder // whole number
	Contact      // phone, mail or messenger text as read
	Language     // BCP 47 tag stated by the page
	numNames
)

var nameText = [numNames]string{
	NoField: "", ListingID: "listing_id", URL: "url", CapturedAt: "captured_at",
	Title: "title", Brand: "brand", Model: "model", PartNumber: "part_number",
	OENumbers: "oe_numbers", GTIN: "gtin", Condition: "condition",
	UnitType: "unit_type", Price: "price", Currency: "currency",
	Shipping: "shipping", CoreDeposit: "core_deposit",
	QuantityAvailable: "quantity_available", LotQuantity: "lot_quantity",
	Seller: "seller", SellerID: "seller_id", SellerLocation: "seller_location",
	SellerFeedback: "seller_feedback", SellerFeedbackCount: "seller_feedback_count",
	SellerSince: "seller_since",
	ShipsFrom:   "ships_from", CountryOfOrigin: "country_of_origin",
	SerialNumber: "serial_number", DateCode: "date_code", Warranty: "warranty",
	Returns: "returns", Description: "description", PhotoFiles: "photo_files",
	PhotoViews: "photo_views", PlateSerial: "plate_serial",
	PlatePartNumber: "plate_part_number", BoxSerial: "box_serial", SKU: "sku",
	Availability: "availability", PriceWas: "price_was", PriceKind: "price_kind",
	PriceTax: "price_tax", MinimumOrder: "minimum_order", Contact: "contact",
	Language: "language",
}

// String gives the canonical column name, for example "part_number".
func (n Name) String() string {
	if n < numNames {
		return nameText[n]
	}
	return ""
}

// Names lists all fields in their fixed order. The caller owns the slice.
func Names() []Name {
	all := make([]Name, 0, numNames-1)
	for n := NoField + 1; n < numNames; n++ {
		all = append(all, n)
	}
	return all
}

var nameByText = func() map[string]Name {
	m := make(map[string]Name, numNames)
	for _, n := range Names() {
		m[n.String()] = n
	}
	return m
}()

// NameOf finds a field by its canonical column name; NoField if there is none.
func NameOf(s string) Name { return nameByText[s] }

// Field is one value of a listing.
type Field struct {
	Name  Name
	Value string // normalised; see the comment at the field's name
	Raw   string // text as read, never changed
	From  Place  // where Raw stands in the listing's file
}
