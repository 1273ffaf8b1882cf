package listing

import (
	"math/bits"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Capture is one file, or one entry of an archive, that was read.
type Capture struct {
	File     string    // as named on the command line, with forward slashes
	Entry    string    // inside an archive, or ""
	SHA256   string    // lower-case hex, of the bytes as stored
	Size     int64     // bytes
	Kind     string    // "page", "table", "photo", ...
	Modified time.Time // the file system's time, which proves nothing
	Listings int       // how many listings came from it
}

// Listing is one offer of one item by one seller at one time, as captured.
type Listing struct {
	// Key names the listing in all outputs: its id if the input gives one that
	// is unique, else its address, else file and row.
	Key    string
	File   string
	Entry  string
	SHA256 string // of the capture
	Row    int    // 1-based line of a table, 0 for a page

	// Brief marks an offer read from a result page, which shows only part of
	// what the listing's own page shows.
	Brief bool

	// PhotosKnown says that the input shows which photos the listing has. When
	// false, an absent photo means 'not observed'.
	PhotosKnown   bool
	Photos        []Photo
	Disagreements []Disagreement
	Also          []CaptureRef // further captures of the same listing

	// The fields, sorted by name, present ones only, are in one of two forms.
	fields  []Field
	packed  packed
	present uint64 // bit n is set when the field with Name n is present
}

// Ref names the capture that the listing was read from.
func (l *Listing) Ref() CaptureRef {
	return CaptureRef{File: l.File, Entry: l.Entry, SHA256: l.SHA256, Row: l.Row}
}

// CaptureRef names another capture of a listing, which does not count.
type CaptureRef struct {
	File   string `json:"file"`
	Entry  string `json:"entry,omitempty"`
	SHA256 string `json:"sha256"`
	Row    int    `json:"row,omitempty"`
}

// Disagreement keeps a value that lost against a better source.
type Disagreement struct {
	Kept  Field
	Other Field
	// In is the capture that Other was read from; zero when it is the listing's
	// own.
	In CaptureRef
}

// Get returns the field and whether it is present.
func (l *Listing) Get(n Name) (Field, bool) {
	i, ok := l.find(n)
	if !ok {
		return Field{Name: n}, false
	}
	if l.fields == nil {
		return l.unpacked(n, i), true
	}
	return l.fields[i], true
}

// Value returns the field's normalised value, "" when it is not present.
func (l *Listing) Value(n Name) string {
	i, ok := l.find(n)
	switch {
	case !ok:
		return ""
	case l.fields == nil:
		return l.packed.value(i)
	}
	return l.fields[i].Value
}

// Has reports whether the field is present.
func (l *Listing) Has(n Name) bool {
	_, ok := l.find(n)
	return ok
}

// Set stores a field, replacing an earlier value of the same name.
func (l *Listing) Set(f Field) {
	l.unpack()
	i, ok := l.find(f.Name)
	if ok {
		l.fields[i] = f
		return
	}
	if l.fields == nil {
		l.fields = make([]Field, 0, fewFields)
	}
	l.fields = slices.Insert(l.fields, i, f)
	l.present |= 1 << f.Name
}

// fewFields is the room that a listing has for fields from the start.
const fewFields = 12

// Clone is a copy whose fields, photos and disagreements can be changed without
// touching l. What photos show is shared.
func (l *Listing) Clone() *Listing {
	c := *l
	c.fields = slices.Clone(l.fields)
	c.Photos = slices.Clone(l.Photos)
	c.Disagreements = slices.Clone(l.Disagreements)
	return &c
}

// Remove deletes a field if it is present.
func (l *Listing) Remove(n Name) {
	l.unpack()
	if i, ok := l.find(n); ok {
		l.fields = slices.Delete(l.fields, i, i+1)
		l.present &^= 1 << n
	}
}

// Fields returns the present fields in the fixed order. The slice must not be
// changed.
func (l *Listing) Fields() []Field {
	if l.fields != nil || l.packed.shape == nil {
		return l.fields
	}
	list := make([]Field, 0, l.Len())
	for rest := l.present; rest != 0; rest &= rest - 1 {
		list = append(list, l.unpacked(Name(bits.TrailingZeros64(rest)), len(list)))
	}
	return list
}

// Len is the number of present fields.
func (l *Listing) Len() int { return bits.OnesCount64(l.present) }

// find gives the index of a field, or the place where it belongs.
func (l *Listing) find(n Name) (int, bool) {
	bit := uint64(1) << n
	return bits.OnesCount64(l.present & (bit - 1)), l.present&bit != 0
}

// Every name needs a bit of its own.
var _ [64 - numNames]struct{}

// Amount reads a money field (Price, Shipping, CoreDeposit, PriceWas) in the
// listing's currency. It is false when the field or the currency is absent or
// the value is not a number.
func (l *Listing) Amount(n Name) (Amount, bool) {
	currency := l.Value(Currency)
	value := l.Value(n)
	if currency == "" || value == "" {
		return Amount{}, false
	}
	a, err := ParseAmount(value, currency)
	return a, err == nil
}

// Int reads a whole-number field such as LotQuantity.
func (l *Listing) Int(n Name) (int, bool) {
	v := l.Value(n)
	if v == "" { // most have none, and an error takes long to make
		return 0, false
	}
	i, err := strconv.Atoi(v)
	return i, err == nil
}

// List splits a field that holds several values ("; " between them).
func (l *Listing) List(n Name) []string {
	v := l.Value(n)
	if v == "" {
		return nil
	}
	return strings.Split(v, "; ")
}

// SellerKey names the seller: the seller's id if present, else the displayed
// name, else "". Sellers of different marketplaces are not told apart by it.
func (l *Listing) SellerKey() string {
	if id := l.Value(SellerID); id != "" {
		return id
	}
	return l.Value(Seller)
}

// ShownViews returns each view that at least one photo shows or that the user
// tagged for the listing as a whole, sorted.
func (l *Listing) ShownViews() []string {
	var views []string
	for i := range l.Photos {
		for _, v := range l.Photos[i].Views {
			views = append(views, v.Name)
		}
	}
	views = append(views, l.List(PhotoViews)...)
	slices.Sort(views)
	return slices.Compact(views)
}
