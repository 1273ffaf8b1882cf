package rules

import (
	"fmt"
	"strings"

	"counterfoil/rules/sellers"
	"counterfoil/rules/wording"
)

// SharedContact finds one phone, mail address or tax number at several
// accounts.
var SharedContact = &Rule{
	ID: "shared-contact", Family: FamilySeller, Weight: 5,
	Doc: Doc{
		Title:    "One contact behind several accounts",
		Meaning:  "Accounts with different names give the same phone number, mail address, messenger, postal address, bank account or tax number. That links them; it does not accuse them.",
		Formula:  "equal contact after normalising, at 2 to 8 accounts with different names; a contact at more accounts, or at accounts with three different tax or register numbers, counts for nothing here; 60 % of the weight for a postal address, as premises are shared, and when so many accounts of a small batch show it that the link weighs under 15 dB (Fellegi and Sunter 1969). Prices of linked accounts count once in a market.",
		Innocent: "A franchise, one trader with several shops, a shared freight agent.",
		Ask:      "Ask for the registered name and address of the trader.",
		Since:    "1.0",
	},
	Needs: []Need{NeedSeller, NeedContacts},
	Run: func(p *Pass) Answer {
		key := p.SellerKeys[p.N]
		if key == "" {
			return Lacks(NeedSeller)
		}
		var evidence []Evidence
		others, heaviest := map[string]bool{}, 0.0
		var kinds []string
		for _, link := range p.Sellers.SharedContacts(key) {
			other := link.A
			if other == key {
				other = link.B
			}
			if !link.Kind.IsContact() || link.Common || link.Weight < leastContact && link.Kind != sellers.Address || p.sameName(key, other) {
				continue
			}
			heaviest = max(heaviest, link.Weight)
			if !others[other] {
				others[other] = true
				kinds = append(kinds, strings.ReplaceAll(string(link.Kind), "-", " "))
			}
			for _, q := range link.Evidence {
				if len(evidence) < 4 {
					evidence = append(evidence, p.quoteContact(q))
				}
			}
		}
		if len(others) == 0 {
			if len(p.Sellers.Contacts(p.N)) == 0 {
				return Lacks(NeedContacts)
			}
			return Silent()
		}
		return Found(fmt.Sprintf("The account shares its %s with %s of another name.", kinds[0], count(len(others), "account")), evidence...).At(contactStrength(heaviest))
	},
}

// leastContact is the weight in decibans from which a shared number counts: above
// that of one that is not whole.
const leastContact = 10

// contactStrength is the share of the weight that a contact of so many decibans
// deserves: all of it from 15 decibans on.
func contactStrength(weight float64) float64 {
	if weight >= 15 {
		return 1
	}
	return 0.6
}

// sameName reports whether two accounts openly carry one name.
func (p *Pass) sameName(a, b string) bool {
	x, okX := p.Sellers.Seller(a)
	y, okY := p.Sellers.Seller(b)
	if !okX || !okY {
		return false
	}
	for _, n := range x.Names {
		for _, m := range y.Names {
			if openlyRelated(n, m) {
				return true
			}
		}
	}
	return false
}

// openlyRelated reports whether one name is the other, or the other with words
// behind it, as branches of one trader are called.
func openlyRelated(a, b string) bool {
	a, b = wording.Fold(a), wording.Fold(b)
	if len(a) > len(b) {
		a, b = b, a
	}
	return a == b || len(a) >= 6 && strings.HasPrefix(b, a+" ")
}

// quoteContact is the evidence of a contact, in a field or read from a photo.
func (p *Pass) quoteContact(q sellers.Quote) Evidence {
	l := p.Listings[q.Listing]
	if q.Photo > 0 && q.Photo <= len(l.Photos) {
		e := QuotePhoto(&l.Photos[q.Photo-1])
		e.Quote = q.Raw
		return e
	}
	return Quote(l, q.Field, q.Raw)
}
