package rules

// Need is something a rule cannot do without.
type Need uint8

// The needs. The first group are the user's settings, the second what a
// listing or the batch shows.
const (
	noNeed Need = iota
	NeedMakers
	NeedSerialRules
	NeedReference
	NeedRate
	NeedAuthorised
	NeedPlants
	NeedDiscontinued
	NeedModels
	NeedGTINPrefixes
	NeedMarks
	NeedFeatures
	NeedLooks
	NeedReadings
	NeedPieces
	NeedEarlierRun
	NeedSeenEarlier
	lastSetting

	NeedPart
	NeedPrice
	NeedMarket
	NeedSerial
	NeedTwoSerials
	NeedPhotos
	NeedFingerprints
	NeedViews
	NeedBrand
	NeedCondition
	NeedClaim
	NeedGTIN
	NeedSeller
	NeedContacts
	NeedSince
	NeedQuantity
	NeedDescription
	NeedReturns
	NeedTitle
	NeedFeedback
	NeedOthers
	NeedWas
	NeedShipping
	NeedWarranty
	NeedOENumbers
	NeedOrigin
	NeedSerialDate
	NeedPlateNumber
	NeedTraderNumber
	NeedPhotoDate
	NeedCamera
	NeedClearReading
	lastNeed
)

var needText = [lastNeed]struct{ lacks, ask string }{
	NeedMakers:       {lacks: "a maker profile for the brand (--makers)"},
	NeedSerialRules:  {lacks: "serial patterns for the maker (--makers)"},
	NeedReference:    {lacks: "an authorised price for the part (--reference)"},
	NeedRate:         {lacks: "an exchange rate for the currency (--rates)"},
	NeedAuthorised:   {lacks: "the maker's list of authorised sellers (--makers)"},
	NeedPlants:       {lacks: "the countries of the maker's plants (--makers)"},
	NeedDiscontinued: {lacks: "the maker's list of discontinued parts (--makers)"},
	NeedModels:       {lacks: "the models of the maker's parts (--makers)"},
	NeedGTINPrefixes: {lacks: "the GTIN prefixes of the maker (--makers)"},
	NeedMarks:        {lacks: "your marks on the photos (tags such as serial-masked)"},
	NeedFeatures:     {lacks: "features of the maker's units in the profile (--makers)"},
	NeedLooks:        {lacks: "your labels on features (--labels)"},
	NeedPieces:       {lacks: "a comparison of pieces of photos (--pieces)"},
	NeedReadings:     {lacks: "lettering read from the photos (--ocr)"},
	NeedEarlierRun:   {lacks: "an earlier run (--casebook)"},
	NeedSeenEarlier:  {lacks: "an earlier sighting of the listing (--casebook)"},
	NeedPart:         {"a part number that could be resolved", "the full part number as stamped on the plate"},
	NeedPrice:        {"a fixed price with a currency", "the price with shipping to your address"},
	NeedMarket:       {lacks: "enough comparable offers of other sellers"},
	NeedSerial:       {"a serial number", "the serial number on the plate"},
	NeedTwoSerials:   {"serials in two places to compare", "photos of the plate and of the box label in one picture"},
	NeedPhotos:       {"to see which photos the listing has", "photos of the unit itself"},
	NeedFingerprints: {"a photo that could be fingerprinted", "photos of the unit itself"},
	NeedViews:        {"photos with a known view (tag, caption or file name)", "a photo of the serial plate, in focus"},
	NeedBrand:        {"a brand field", "who made the unit"},
	NeedCondition:    {"a stated condition", "whether the unit is new, remanufactured or used"},
	NeedClaim:        {"words that say what the item is", "whether it is the maker's own part or made to fit"},
	NeedGTIN:         {"a GTIN", "the bar code number on the box"},
	NeedSeller:       {"a named seller", "the trading name and address of the seller"},
	NeedContacts:     {lacks: "a seller's phone, mail address or tax number"},
	NeedSince:        {lacks: "since when the seller's account exists"},
	NeedQuantity:     {"the quantity available", "how many units are in stock"},
	NeedDescription:  {"a description", "a full description of the unit"},
	NeedReturns:      {"return terms", "the return terms"},
	NeedTitle:        {lacks: "a title"},
	NeedFeedback:     {lacks: "the seller's feedback"},
	NeedOthers:       {lacks: "other listings to compare with"},
	NeedWas:          {lacks: "a struck-out earlier price"},
	NeedShipping:     {"the price of shipping", "the price with shipping to your address"},
	NeedWarranty:     {"warranty terms", "who gives the warranty, for how long and for what"},
	NeedOENumbers:    {lacks: "a list of OE numbers"},
	NeedOrigin:       {"a stated country of origin", "the country of origin printed on the box"},
	NeedSerialDate:   {"a date in the serial", "the serial number on the plate"},
	NeedTraderNumber: {"a tax or register number with check digits", "the trader's tax number"},
	NeedPlateNumber:  {"the part number on the plate", "a photo of the serial plate, in focus"},
	NeedPhotoDate:    {lacks: "a photo with a date of its own, and a capture time or launch month to hold it against"},
	NeedCamera:       {lacks: "a photo in which its camera wrote what it is"},
	NeedClearReading: {"a plate that could be read with certainty", "a sharp, straight photo of the serial plate"},
}

// String says what was lacking: "a serial number".
func (n Need) String() string {
	if n < lastNeed {
		return needText[n].lacks
	}
	return lacksFact(n)
}

// Ask is what to ask the seller for, "" when the seller cannot help.
func (n Need) Ask() string {
	if n < lastNeed {
		return needText[n].ask
	}
	f, _ := factOf(n)
	return f.Ask
}

// IsSetting reports whether the user's settings lack it, not the listing.
func (n Need) IsSetting() bool { return n > noNeed && n < lastSetting }
