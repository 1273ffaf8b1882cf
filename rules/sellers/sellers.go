// Package sellers gathers what a batch shows of its sellers, once for all
// rules: how they can be reached, what else they offer, and which accounts share
// a rare way to reach them.
package sellers

import "counterfoil/parse/listing"

// Account is what one listing shows of its seller.
type Account struct {
	Listing  int
	Key      string // the seller's key, see Key; when "", Build forms it
	Name     string // displayed name
	ID       string // id on the marketplace
	Host     string // marketplace host, or the file when there is none
	Country  string // ISO 3166 alpha-2 code of the seller or marketplace, for national phone numbers; "" when unknown
	Part     string // part key; "" when unknown
	Quantity int    // units offered; 0 when not stated
	Texts    []Text // searched for contacts
}

// Text is one text of a listing that may hold contacts.
type Text struct {
	Field listing.Name // Contact, Description, Seller, ...
	Text  string
}

// Kind says what a contact is.
type Kind string

const (
	Phone     Kind = "phone"
	Mail      Kind = "mail"
	Messenger Kind = "messenger"
	VAT       Kind = "vat-number"
	Register  Kind = "register-number"
	IBAN      Kind = "iban"
	Name      Kind = "name" // only in links: equal names on several hosts
)

// Contact is one way to reach or identify a seller, as found in a text.
type Contact struct {
	Listing    int
	Field      listing.Name
	Kind       Kind
	Canonical  string // form in which two are compared, see Find
	Raw        string // text[Start:End]
	Start, End int    // bytes in the text of the field
	Checked    bool   // a check digit was tested and holds
}

// Seller is all that the batch shows of one seller.
type Seller struct {
	Key           string
	Names         []string // displayed names, sorted
	Hosts         []string
	Listings      []int
	Parts         []string
	QuantityTotal int
	Contacts      []Contact // by listing, field, start
}

// Quote is a place where a linking value stands.
type Quote struct {
	Seller  string
	Listing int
	Field   listing.Name
	Raw     string
	Start   int
	End     int
}

// Link says that two sellers share a value.
type Link struct {
	A, B     string // seller keys, A < B
	Kind     Kind
	Value    string  // canonical
	Weight   float64 // decibans
	Sellers  int     // sellers that share the value in the batch
	Evidence []Quote
}

// Group is a set of sellers that strong links join.
type Group struct {
	Key     string   // the smallest member key
	Members []string // sorted
	Links   []Link
}

// Hub is a value that so many sellers show that it links none of them.
type Hub struct {
	Kind    Kind
	Value   string
	Sellers int
}

// Options tunes the linking. The zero value means the defaults.
type Options struct {
	MaxSellers int      // a value at more sellers than this links none; default 8
	Strong     float64  // decibans from which two sellers are one group; default 20
	Messengers []string // labels after which a messenger handle stands, besides the general ones
}

// Index answers questions about sellers. It is not changed after Build and may
// be read by several goroutines.
type Index struct{}

// Build gathers the accounts.
func Build(accounts []Account, opt Options) *Index { return &Index{} }

// Key forms the key of a seller: host and id, else host and normalised name; ""
// when neither id nor name is known.
func Key(host, id, name string) string { return "" }

// Seller gives what is known of a seller.
func (x *Index) Seller(key string) (Seller, bool) { return Seller{}, false }

// Sellers lists the seller keys, sorted.
func (x *Index) Sellers() []string { return nil }

// Contacts lists the contacts a listing shows.
func (x *Index) Contacts(listing int) []Contact { return nil }

// Links lists all links, strong and weak.
func (x *Index) Links() []Link { return nil }

// SharedContacts lists the links of one seller, heaviest first.
func (x *Index) SharedContacts(key string) []Link { return nil }

// Group gives the key of the group a seller is in; the seller's own key when it
// is in none.
func (x *Index) Group(key string) string { return key }

// Groups lists the groups of at least two sellers, by key.
func (x *Index) Groups() []Group { return nil }

// Hubs lists the values that link nobody because too many show them.
func (x *Index) Hubs() []Hub { return nil }

// Find extracts the contacts of one text.
func Find(text string, field listing.Name, country string, opt Options) []Contact { return nil }

// Mask hides most of a contact for display.
func Mask(kind Kind, canonical string) string { return "" }
