// Package sellers gathers what a batch shows of its sellers, once for all
// rules: how they can be reached, what else they offer, and which accounts share
// a rare way to reach them.
//
// find.go finds contacts in text, phone.go and calling.go read phone numbers,
// identifiers.go reads VAT, register and bank account numbers with the check
// digits of check.go and check_more.go, address.go reads postal addresses. alike.go compares names,
// weight.go weighs what sellers share, hubs.go knows what is common property,
// network.go links them, threshold.go says what is enough, cluster.go and groups.go
// form groups, holds.go tells what holds them, and mask.go hides contacts for
// display.
//
// A shared contact is a reason to look, not a proof of one operator: franchises,
// shared premises and marketplaces' own service lines share contacts too.
// Contacts of sole traders are personal data; reports print them through [Mask]
// unless the evidence needs them.
package sellers

import (
	"cmp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"counterfoil/parse/listing"
)

// Account is what one listing shows of its seller.
type Account struct {
	Listing  int    // the caller's number of the listing
	Key      string // the seller's key, see Key; when "", Build forms it
	Name     string // displayed name
	ID       string // id on the marketplace
	Host     string // marketplace host, or the file when there is none
	Country  string // ISO 3166 alpha-2 code of seller or marketplace, for national phone numbers; "" when unknown
	Place    string // place of business or dispatch as read, finer than a country; ""
	PlaceIn  listing.Name
	Part     string // part key; "" when unknown
	Quantity int    // units offered; 0 when not stated
	Texts    []Text // searched for contacts
}

// Text is one text of a listing that may hold contacts. In the field Contact,
// and there alone, a number needs no label to be a phone number.
type Text struct {
	Field listing.Name
	Text  string // the first 64 KiB are searched
	Photo int    // number of the photo on which it was read, from 1; 0 when it was not
}

// Seller is all that the batch shows of one seller.
type Seller struct {
	Key           string
	Names         []string  // displayed names, distinct, sorted
	Hosts         []string  // distinct, sorted
	Listings      []int     // distinct, sorted
	Parts         []string  // distinct known part keys, sorted
	QuantityTotal int       // sum of the stated quantities; stops at 1e9 a listing
	Contacts      []Contact // each value once, where it stands first

	nameAt map[string]int // first listing that shows the name
	places []Quote        // by the place, first of each
}

// Options tunes the linking. The zero value means the defaults.
type Options struct {
	// MaxSellers is the hub guard: a value that more sellers show, or a contact
	// that sellers with three different tax or register numbers show, makes no
	// group alone; it weighs 4 decibans at most. Default 8. A value at more than
	// 64 sellers links none of them, nor does one at more than three sellers that
	// are more than a fifth of the batch: the marketplace's own line, as a rule.
	MaxSellers int
	// Strong is the weight in decibans from which two sellers count as one
	// group. By default it is 10, 'moderate' on the ENFSI scale, and for what
	// [Index.Network] links as little as 9 where the market allows it, see
	// threshold.go. Equal names alone stay below it.
	Strong float64
	// Messengers are labels after which a messenger handle stands, such as the
	// names of services, besides the general words.
	Messengers []string
}

func (o Options) withDefaults() Options {
	o.MaxSellers = cmp.Or(o.MaxSellers, 8)
	return o
}

// Index answers questions about sellers. It is not changed after Build and may
// be read by several goroutines.
type Index struct {
	contacts map[int][]Contact
	sellers  map[string]*Seller
	keys     []string // sorted
	opt      Options
	own      *Network // of contacts and equal names
}

// Build gathers the accounts. The result does not depend on their order, but for
// several accounts of one listing.
func Build(accounts []Account, opt Options) *Index {
	opt = opt.withDefaults()
	accounts = slices.Clone(accounts)
	for i := range accounts {
		if a := &accounts[i]; a.Key == "" {
			a.Key = Key(a.Host, a.ID, a.Name)
		}
	}
	slices.SortStableFunc(accounts, func(a, b Account) int {
		return cmp.Or(cmp.Compare(a.Listing, b.Listing), strings.Compare(a.Key, b.Key))
	})
	x := &Index{contacts: map[int][]Contact{}, sellers: map[string]*Seller{}, opt: opt}
	seen := map[shown]bool{}
	for i, found := range findAll(accounts, opt) {
		x.add(&accounts[i], found, seen)
	}
	for _, key := range x.keys {
		x.sellers[key].tidy()
	}
	slices.Sort(x.keys)
	own := opt
	own.Strong = cmp.Or(own.Strong, strongMost)
	x.own = x.network(x.values(), own)
	return x
}

// Network links the sellers by their contacts, their names, alike ones too, and
// their places, and by what the caller found that they share.
func (x *Index) Network(shared []Value) *Network {
	values := append(x.values(), alike(x.names(), x.wordCounts())...)
	return x.network(append(append(values, x.places()...), shared...), x.opt)
}

// findAll searches the texts of all accounts on all cores.
func findAll(accounts []Account, opt Options) [][]Contact {
	found := make([][]Contact, len(accounts))
	finder := newFinder(opt)
	const chunk = 512
	next := make(chan int)
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for start := range next {
				for i := start; i < min(start+chunk, len(accounts)); i++ {
					a := &accounts[i]
					for _, t := range a.Texts {
						for _, c := range finder.find(t.Text, t.Field, a.Country) {
							c.Listing, c.Photo = a.Listing, t.Photo
							found[i] = append(found[i], c)
						}
					}
				}
			}
		})
	}
	for start := 0; start < len(accounts); start += chunk {
		next <- start
	}
	close(next)
	wg.Wait()
	return found
}

// shown is a value at a seller.
type shown struct {
	seller string
	kind   Kind
	value  string
}

func (x *Index) add(a *Account, found []Contact, seen map[shown]bool) {
	if len(found) > 0 {
		x.contacts[a.Listing] = append(x.contacts[a.Listing], found...)
	}
	if a.Key == "" {
		return
	}
	s := x.sellers[a.Key]
	if s == nil {
		s = &Seller{Key: a.Key, nameAt: map[string]int{}}
		x.sellers[a.Key] = s
		x.keys = append(x.keys, a.Key)
	}
	if n := len(s.Listings); n == 0 || s.Listings[n-1] != a.Listing {
		s.Listings = append(s.Listings, a.Listing)
		s.QuantityTotal += min(max(a.Quantity, 0), 1e9)
	}
	s.Names = insert(s.Names, a.Name)
	if _, ok := s.nameAt[a.Name]; !ok {
		s.nameAt[a.Name] = a.Listing
	}
	s.Hosts = insert(s.Hosts, a.Host)
	if place := NormalName(a.Place); place != "" && len(s.places) < maxPlaces &&
		!slices.ContainsFunc(s.places, func(q Quote) bool { return NormalName(q.Raw) == place }) {
		s.places = append(s.places, Quote{Seller: a.Key, Listing: a.Listing, Field: a.PlaceIn, Raw: a.Place})
	}
	if a.Part != "" {
		s.Parts = append(s.Parts, a.Part)
	}
	for _, c := range found {
		if v := (shown{a.Key, c.Kind, c.Canonical}); !seen[v] {
			seen[v] = true
			s.Contacts = append(s.Contacts, c)
		}
	}
}

func (s *Seller) tidy() {
	slices.Sort(s.Parts)
	s.Parts = slices.Compact(s.Parts)
}

// maxPlaces bounds the places of one seller.
const maxPlaces = 4

// insert adds a value to a sorted list without doubles.
func insert(list []string, v string) []string {
	if v == "" {
		return list
	}
	i, found := slices.BinarySearch(list, v)
	if found {
		return list
	}
	return slices.Insert(list, i, v)
}

// Key forms the key of a seller, under which listings of one account meet:
// "host/id" when the id is known, else "host/~name" with the normalised name; ""
// when neither is known. Two hosts never share a key.
func Key(host, id, name string) string {
	host = strings.TrimPrefix(strings.ToLower(strings.TrimSpace(host)), "www.")
	if id = strings.TrimSpace(id); id != "" {
		return host + "/" + id
	}
	if name = NormalName(name); name != "" {
		return host + "/~" + name
	}
	return ""
}

// legalForms are endings of firm names that do not tell firms apart, as they
// stand in a normalised name.
var legalForms = []string{" gmbh", " ug haftungsbeschränkt", " gmbh co kg", " ag", " kg", " e k", " ohg", " ltd", " limited", " llc", " inc",
	" co", " corp", " plc", " s r l", " srl", " s p a", " spa", " s a s", " sas", " sarl", " s a", " sa", " s l", " sl", " sp z o o", " b v", " bv",
	" s r o", " kft", " ооо", " ип", "有限公司", "有限责任公司"}

// NormalName brings a displayed name into the form in which two names are
// compared: NFKC, lower case, words of letters and digits with single blanks,
// without a closing legal form.
func NormalName(name string) string {
	if len(name) > 512 {
		name = name[:512]
	}
	name = strings.ToLower(norm.NFKC.String(strings.ToValidUTF8(name, "")))
	name = strings.Join(strings.FieldsFunc(name, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r)
	}), " ")
	for i := 0; i < len(legalForms); i++ {
		if rest, ok := strings.CutSuffix(name, legalForms[i]); ok && rest != "" {
			name, i = rest, -1
		}
	}
	return name
}

// Seller gives what is known of a seller. Its slices belong to the index.
func (x *Index) Seller(key string) (Seller, bool) {
	s, ok := x.sellers[key]
	if !ok {
		return Seller{}, false
	}
	return *s, true
}

// Sellers lists the keys of all known sellers, sorted. The slice belongs to the
// index.
func (x *Index) Sellers() []string { return x.keys }

// Contacts lists the contacts a listing shows, in the order of its texts. The
// slice belongs to the index.
func (x *Index) Contacts(listing int) []Contact { return x.contacts[listing] }

// Links lists the links by contacts and equal names, by A, B, kind and value. The
// slice belongs to the index.
func (x *Index) Links() []Link { return x.own.Links() }

// SharedContacts lists those links of one seller, heaviest first. The slice
// belongs to the index.
func (x *Index) SharedContacts(key string) []Link { return x.own.LinksOf(key) }

// Group gives the key of the group that contacts and equal names put a seller in;
// the seller's own key when it is in none.
func (x *Index) Group(key string) string {
	if g := x.own.Group(key); g != nil {
		return g.Key
	}
	return key
}

// Groups lists those groups of at least two sellers, by key. The slice belongs to
// the index.
func (x *Index) Groups() []Group { return x.own.Groups() }

// Hubs lists the contacts and names that link nobody, or nobody by themselves,
// because too many sellers show them, by kind and value. The slice belongs to the
// index.
func (x *Index) Hubs() []Hub { return x.own.Hubs() }
