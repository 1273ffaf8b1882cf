package sellers

import (
	"strings"
	"unicode/utf8"
)

// Mask hides most of a contact for display, so that two equal contacts can be
// recognised but not used: "+49•••••••78", "s•••@shop.example". VAT and register
// numbers are public and stay as they are.
func Mask(kind Kind, canonical string) string {
	switch kind {
	case VAT, Register:
		return canonical
	case Address: // the postcode's head tells the region
		return masked(canonical, 2, 0)
	case Mail:
		local, domain, _ := strings.Cut(canonical, "@")
		return masked(local, 1, 0) + "@" + domain
	case Phone:
		return masked(canonical, 3, 2)
	case Messenger, IBAN:
		return masked(canonical, 2, 2)
	}
	return canonical // no contact
}

// masked hides all but the ends of a text.
func masked(s string, head, tail int) string {
	n := utf8.RuneCountInString(s)
	if n <= head+tail { // too short to show anything of it
		return strings.Repeat("•", n)
	}
	r := []rune(s)
	return string(r[:head]) + strings.Repeat("•", n-head-tail) + string(r[n-tail:])
}
