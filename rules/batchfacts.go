package rules

import (
	"cmp"
	"context"

	"counterfoil/parse/listing"
	"counterfoil/rules/photogroup"
	"counterfoil/rules/sellers"
	"counterfoil/rules/serials"
	"counterfoil/rules/texts"
)

// sellerKey names a listing's seller within its marketplace, "" when no seller
// was observed.
func sellerKey(l *listing.Listing) string {
	return sellers.Key(cmp.Or(Host(l), marketOfTable(l)), l.Value(listing.SellerID), l.Value(listing.Seller))
}

// marketOfTable stands in for the marketplace of a table row without an
// address.
func marketOfTable(l *listing.Listing) string { return l.File }

func (f *Facts) buildSellers() {
	accounts := make([]sellers.Account, len(f.Listings))
	f.SellerKeys = make([]string, len(f.Listings))
	eachChunk(context.Background(), len(f.Listings), f.Jobs, func(i int) {
		l := f.Listings[i]
		f.SellerKeys[i] = sellerKey(l)
		quantity, _ := l.Int(listing.QuantityAvailable)
		a := sellers.Account{Listing: i, Key: f.SellerKeys[i], Name: l.Value(listing.Seller),
			ID: l.Value(listing.SellerID), Host: cmp.Or(Host(l), marketOfTable(l)), Country: l.Value(listing.ShipsFrom),
			Part: f.Parts[i].ID, Quantity: quantity}
		if field, ok := l.Get(listing.SellerLocation); ok {
			a.Place, a.PlaceIn = field.Raw, listing.SellerLocation
		}
		for _, n := range []listing.Name{listing.Contact, listing.Seller, listing.Description} {
			if field, ok := l.Get(n); ok {
				a.Texts = append(a.Texts, sellers.Text{Field: n, Text: field.Raw})
			}
		}
		for k := range l.Photos {
			if text := l.Photos[k].Lettering; text != "" && k < letteredPhotos {
				a.Texts = append(a.Texts, sellers.Text{Field: listing.PhotoFiles, Text: text, Photo: k + 1})
			}
		}
		accounts[i] = a
	})
	f.Sellers = sellers.Build(accounts, sellers.Options{})
	f.SellerGroups = f.groupSellers()
}

// letteredPhotos bounds the photos of a listing whose lettering is searched for
// contacts.
const letteredPhotos = 64

// groupSellers gives the group of each listing's seller. Accounts that share a
// contact are one group, and so are accounts that openly carry one name on
// several marketplaces: a trader who offers a unit in two places is no reason
// to look. Whoever takes another trader's name hides behind this; that is the
// lesser harm.
func (f *Facts) groupSellers() []string {
	groups := make([]string, len(f.Listings))
	head := map[string]string{}
	find := func(g string) string {
		for head[g] != "" {
			g = head[g]
		}
		return g
	}
	byName := map[string]string{}
	for i, k := range f.SellerKeys {
		if k == "" {
			continue
		}
		g := find(f.Sellers.Group(k))
		groups[i] = g
		name := sellers.NormalName(f.Listings[i].Value(listing.Seller))
		if name == "" {
			continue
		}
		if other, ok := byName[name]; !ok {
			byName[name] = g
		} else if o := find(other); o != g {
			head[max(o, g)] = min(o, g)
		}
	}
	for i := range groups {
		groups[i] = find(groups[i])
	}
	return groups
}

// serialFields are the fields a serial is read from.
var serialFields = []listing.Name{listing.SerialNumber, listing.PlateSerial, listing.BoxSerial}

func (f *Facts) buildSerials() {
	var list []serials.Sighting
	for i, l := range f.Listings {
		quantity, _ := l.Int(listing.QuantityAvailable)
		for _, n := range serialFields {
			if s := l.Value(n); s != "" {
				list = append(list, serials.Sighting{Listing: i, Seller: f.SellerGroups[i],
					Part: f.Parts[i].ID, Serial: s, Field: n, Quantity: quantity})
			}
		}
	}
	f.Serials = serials.Build(list)
}

func (f *Facts) buildPhotos() {
	var list []photogroup.Photo
	f.FirstPhoto = make([]int, len(f.Listings))
	for i, l := range f.Listings {
		f.FirstPhoto[i] = len(list)
		for k := range l.Photos {
			ph := &l.Photos[k]
			f.PhotoOf = append(f.PhotoOf, PhotoRef{Listing: i, Photo: k})
			list = append(list, photogroup.Photo{Fingerprint: ph.Fingerprint, Mirror: ph.Mirror, Printed: ph.Printed, Detail: ph.Detail,
				SHA256: ph.SHA256, Listing: i, Seller: f.SellerGroups[i], Part: f.Parts[i].ID})
		}
	}
	f.Photos = photogroup.Build(list, f.thresholds().Photos)
}

func (f *Facts) buildTexts() {
	docs := make([]texts.Doc, 0, len(f.Listings))
	for i, l := range f.Listings {
		if d := l.Value(listing.Description); d != "" {
			docs = append(docs, texts.Doc{Listing: i, Seller: f.SellerGroups[i], Part: f.Parts[i].ID, Text: d})
		}
	}
	opt := f.thresholds().Texts
	opt.Workers = f.Jobs
	f.Texts = opt.Build(docs)
}
