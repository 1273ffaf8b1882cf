package compare

// Kind is the word for a kind of change; outputs depend on it.
type Kind string

// The kinds of change.
const (
	SerialMoved       Kind = "serial-moved"
	SerialAgain       Kind = "serial-also-elsewhere"
	AccountWithOld    Kind = "account-with-old-material"
	RelistedElsewhere Kind = "relisted-elsewhere"
	SerialChanged     Kind = "serial-changed"
	ClaimEdited       Kind = "claim-edited"
	ConditionEdited   Kind = "condition-edited"
	PartEdited        Kind = "part-edited"
	PriceMoved        Kind = "price-moved"
	Undercut          Kind = "undercut"
	Relisted          Kind = "relisted"
	StillLastOne      Kind = "still-last-one"
	PhotosChanged     Kind = "photos-changed"
	SellerChanged     Kind = "seller-changed"
	TitleEdited       Kind = "title-edited"
	DescriptionEdited Kind = "description-edited"
	FieldEdited       Kind = "field-edited"
	QuantityMoved     Kind = "quantity-moved"
	Ended             Kind = "ended"
	Unclear           Kind = "unclear"
	New               Kind = "new"
	Gone              Kind = "gone"
	FirstLookedAt     Kind = "first-looked-at"
	NotLookedAt       Kind = "not-looked-at"
)

// About says what a kind means.
type About struct {
	Kind     Kind
	Title    string
	Meaning  string
	Innocent string
}

// Kinds lists all kinds in the order in which reports print them. What the
// innocent explanations say is common practice, no source.
var Kinds = []About{
	{SerialMoved, "Serial at another seller after the listing was gone", "A new listing of another seller shows the serial of a listing that is gone or was ended. One unit can have been sold on.",
		"A resale: the buyer offers the very unit. Or a picture of the plate was taken over, and its owner stands here too."},
	{SerialAgain, "Serial also at another seller", "A new listing shows the serial of another seller's listing that still stands. One unit cannot be in two stocks.",
		"One trader's two accounts, a drop shipper, or a picture of the plate that was taken over; its owner stands here too."},
	{AccountWithOld, "New account with old photos, texts or serials", "An account that was not among the earlier inputs shows photos, texts or serials of another account's earlier listings.",
		"A trader's second account or change of name, a distributor's feed, or pictures that were taken over; their owner stands here too."},
	{RelistedElsewhere, "Put up again by another seller", "A new listing of another seller shows the photos of a listing that is gone or was ended.",
		"A resale with the seller's pictures, one trader's two accounts, or a change of name."},
	{SerialChanged, "Serial changed", "The same listing now shows another serial.",
		"The unit was sold and the listing kept for the next one, or a misreading was put right."},
	{ClaimEdited, "Claim rewritten", "The texts now say something else of what the item is: genuine, compatible, hedged, copy.",
		"The marketplace or the maker asked for clearer words, or a template was changed for the whole shop."},
	{ConditionEdited, "Condition changed", "The stated condition is another one.",
		"A slip was put right, or the marketplace renamed its conditions."},
	{PartEdited, "Part number changed", "The listing now offers another part number.",
		"A slip was put right, a supersession, or the listing was reused for other stock."},
	{PriceMoved, "Price moved", "The price of one unit is another one, in the listing's own currency.",
		"A sale, a repricing program that follows rivals, an exchange rate, or old stock."},
	{Undercut, "Under your own price", "The landed price of one unit is now under your list price, and was not before, or has moved below it.",
		"A sale, another supply price, or a grey import. Resale prices are each seller's own; a price alone is never a ground for a notice."},
	{Relisted, "Put up again by the same seller", "A listing is gone or was ended, and the same seller shows a new one for what looks like the same offer.",
		"Marketplaces end and renew listings by themselves, and sellers renew them to stand higher."},
	{StillLastOne, "The last one does not run out", "The listing speaks of the last unit in both looks, or again after it was put up anew.",
		"It has not been sold yet, or a stock program counts one unit at a time."},
	{PhotosChanged, "Photos changed", "Photos were added, removed or replaced, by their fingerprints.",
		"Better pictures, another unit of the same stock, or a page that was saved before all pictures had loaded."},
	{SellerChanged, "Seller changed", "The same listing is shown under another seller's name or id.",
		"A change of name, a shop that was sold, or a platform that now shows the firm."},
	{TitleEdited, "Title rewritten", "The title is another one.", "Sellers and marketplaces tidy titles all the time."},
	{DescriptionEdited, "Description rewritten", "The description is another one.", "A template was changed for the whole shop, or terms were brought up to date."},
	{FieldEdited, "Other field changed", "Another stated field of the listing is different.", "A slip was put right, or a form asks for more than before."},
	{QuantityMoved, "Quantity moved", "The stated stock is another number.", "Sales and deliveries; shops that share a stock show a common count."},
	{Ended, "Marked as ended", "The listing still stands, but says that the item is sold or not available.", "It was sold."},
	{Unclear, "Joined to none, for several would do", "Old listings are gone and new ones stand that could each be any of them.", "Like offers of one seller, renewed together."},
	{New, "New", "Not among the earlier inputs, although its marketplace was.", "New stock."},
	{Gone, "Gone", "Not among the later inputs, although its marketplace is. It may also not have been looked for.", "Sold, ended, or not found by the same search."},
	{FirstLookedAt, "First look at its marketplace", "Nothing of its marketplace is among the earlier inputs, so nothing tells whether it is new.", "It may have stood there for long."},
	{NotLookedAt, "Marketplace not looked at again", "Nothing of its marketplace is among the later inputs, so nothing tells whether it is gone.", "It may still stand there."},
}

// Attention says how much a change asks for a reader.
type Attention uint8

// The words for Attention, by which changes are ordered. Which kinds stand out
// is the project's judgement.
const (
	StandsOut Attention = iota
	WorthALook
	Routine
)

func (a Attention) String() string {
	return [...]string{"stands-out", "worth-a-look", "routine"}[a]
}

// usual is the attention of each kind, where nothing else is said.
var usual = map[Kind]Attention{
	SerialMoved: StandsOut, SerialAgain: StandsOut, AccountWithOld: StandsOut, RelistedElsewhere: StandsOut, SerialChanged: StandsOut,
	ClaimEdited: WorthALook, ConditionEdited: WorthALook, PartEdited: WorthALook, Undercut: WorthALook, Relisted: WorthALook,
	StillLastOne: WorthALook, SellerChanged: WorthALook,
	PriceMoved: Routine, PhotosChanged: Routine, TitleEdited: Routine, DescriptionEdited: Routine, FieldEdited: Routine,
	QuantityMoved: Routine, Ended: Routine, Unclear: Routine, New: Routine, Gone: Routine, FirstLookedAt: Routine, NotLookedAt: Routine,
}

// place is the position of each kind among Kinds.
var place = func() map[Kind]int {
	m := make(map[Kind]int, len(Kinds))
	for i, a := range Kinds {
		m[a.Kind] = i
	}
	return m
}()

// About says what the kind means.
func (k Kind) About() About { return Kinds[place[k]] }
