package report

import (
	"counterfoil/parse/listing"
	"counterfoil/rules/sellers"
)

// LinkKind is what two accounts share, in words.
func LinkKind(k sellers.Kind) string {
	if s, ok := linkKinds[k]; ok {
		return s
	}
	return string(k)
}

var linkKinds = map[sellers.Kind]string{
	sellers.Phone: "telephone number", sellers.Mail: "mail address", sellers.Messenger: "messenger handle", sellers.VAT: "VAT number",
	sellers.Register: "register number", sellers.IBAN: "bank account", sellers.Address: "postal address",
	sellers.Name: "displayed name", sellers.NameAlike: "alike name", sellers.Place: "place",
	sellers.SameSerial: "serial", sellers.SamePhoto: "picture", sellers.SameFile: "picture file", sellers.SameText: "description",
	sellers.SamePhrase: "phrase", sellers.SameSlip: "misspelling", sellers.SameCamera: "camera", sellers.SameDevice: "camera model and program",
	sellers.SamePrices: "odd prices", sellers.PriceRule: "price rule",
}

// linkInnocent is how strangers come to share something, by the first kind that
// says it.
var linkInnocent = []struct {
	text  string
	kinds []sellers.Kind
}{
	{"A franchise, shared premises, a freight agent or an accountant whose number several traders give.", []sellers.Kind{sellers.Phone, sellers.Mail, sellers.Messenger, sellers.Address, sellers.IBAN}},
	{"A trader with several shops, which he need not hide, or a number copied from a form.", []sellers.Kind{sellers.VAT, sellers.Register}},
	{"Shops are named alike by chance.", []sellers.Kind{sellers.Name, sellers.NameAlike}},
	{"Stolen pictures: the seller who took them is linked to whoever copied them, and a copier to all from whom he took some. See who was first.", []sellers.Kind{sellers.SamePhoto, sellers.SameFile}},
	{"A distributor's feed or the maker's own text, or a text copied from a rival.", []sellers.Kind{sellers.SameText, sellers.SamePhrase, sellers.SameSlip}},
	{"A serial copied with the listing, or one plate on copies that strangers bought from one source.", []sellers.Kind{sellers.SameSerial}},
	{"A photographer who works for several sellers, or a common model.", []sellers.Kind{sellers.SameCamera, sellers.SameDevice}},
	{"A distributor's price list, or a price tool that follows rivals.", []sellers.Kind{sellers.SamePrices, sellers.PriceRule}},
	{"Many traders sit in one town.", []sellers.Kind{sellers.Place}},
}

// LinkInnocent lists how strangers come to share these kinds.
func LinkInnocent(has func(sellers.Kind) bool) (list []string) {
	for _, e := range linkInnocent {
		for _, k := range e.kinds {
			if has(k) {
				list = append(list, e.text)
				break
			}
		}
	}
	return list
}

// LinkValue is what is shared, for display: contacts masked, with hidden all of
// them, public numbers too.
func LinkValue(k sellers.Kind, value string, hidden bool) string {
	switch {
	case hidden && k.IsContact():
		return Hidden(k, value)
	case k == sellers.SameCamera:
		return "number with the hash " + value
	}
	return listing.Shorten(Visible(sellers.Mask(k, value)), 160)
}
