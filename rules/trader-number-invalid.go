package rules

import (
	"fmt"
	"strings"

	"counterfoil/rules/sellers"
)

// TraderNumberInvalid finds a tax or register number that cannot be one.
var TraderNumberInvalid = &Rule{
	ID: "trader-number-invalid", Family: FamilySeller, Weight: 5,
	Doc: Doc{
		Title:    "Tax number with wrong check digits",
		Meaning:  "The seller states a tax, register or bank account number whose check digits do not hold. A trader's real number is the easiest to write down rightly.",
		Formula:  "check digits of the number's own scheme, as far as it is known; half weight when the number stands on another listing of the same account",
		Innocent: "A typing error, or a digit lost when the page was saved.",
		Ask:      "Ask for the tax number again and look it up in the public register.",
		Since:    "1.0",
	},
	Needs: []Need{NeedTraderNumber},
	Run: func(p *Pass) Answer {
		tested := false
		for _, c := range p.Sellers.Contacts(p.N) {
			switch c.Check {
			case sellers.CheckFails:
				return Found(fmt.Sprintf("The check digits of the %s do not hold.", strings.ReplaceAll(string(c.Kind), "-", " ")),
					Quote(p.Listing, c.Field, c.Raw))
			case sellers.CheckHolds:
				tested = true
			}
		}
		if c, ok := p.operator().failed[p.SellerKeys[p.N]]; ok && p.SellerKeys[p.N] != "" {
			return Found(fmt.Sprintf("On another listing of the account the check digits of the %s do not hold.", strings.ReplaceAll(string(c.Kind), "-", " ")),
				Quote(p.Listings[c.Listing], c.Field, c.Raw)).At(0.5)
		}
		if !tested {
			return Lacks(NeedTraderNumber)
		}
		return Silent()
	},
}
