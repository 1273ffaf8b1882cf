package rules

import (
	"fmt"
	"strings"
)

// SharedContact finds one phone, mail address or tax number at several
// accounts.
var SharedContact = &Rule{
	ID: "shared-contact", Family: FamilySeller, Weight: 5,
	Doc: Doc{
		Title:    "One contact behind several accounts",
		Meaning:  "Accounts with different names give the same phone number, mail address, messenger, postal address, bank account or tax number. That links them; it does not accuse them.",
		Formula:  "equal contact after normalising, at 2 to 8 accounts with different names; a contact at more accounts, or at accounts with three different tax or register numbers, counts for nothing here. Prices of linked accounts count once in a market.",
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
		others := map[string]bool{}
		var kinds []string
		for _, link := range p.Sellers.SharedContacts(key) {
			other := link.A
			if other == key {
				other = link.B
			}
			if !link.Kind.IsContact() || link.Weight < leastContact || p.sameName(key, other) {
				continue
			}
			if !others[other] {
				others[other] = true
				kinds = append(kinds, strings.ReplaceAll(string(link.Kind), "-", " "))
			}
			for _, q := range link.Evidence {
				if len(evidence) < 4 {
					evidence = append(evidence, Quote(p.Listings[q.Listing], q.Field, q.Raw))
				}
			}
		}
		if len(others) == 0 {
			if len(p.Sellers.Contacts(p.N)) == 0 {
				return Lacks(NeedContacts)
			}
			return Silent()
		}
		return Found(fmt.Sprintf("The account shares its %s with %s of another name.", kinds[0], count(len(others), "account")), evidence...)
	},
}

// leastContact is the weight in decibans from which a shared contact counts:
// above that of a number that many accounts or several registered firms show.
const leastContact = 10

// sameName reports whether two accounts openly carry one name.
func (p *Pass) sameName(a, b string) bool {
	x, okX := p.Sellers.Seller(a)
	y, okY := p.Sellers.Seller(b)
	if !okX || !okY {
		return false
	}
	for _, n := range x.Names {
		for _, m := range y.Names {
			if strings.EqualFold(n, m) {
				return true
			}
		}
	}
	return false
}
