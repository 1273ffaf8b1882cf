// Package gtin reads what a valid GTIN says of its issuer, and which part
// numbers of a batch share one.
//
// A GS1 prefix names the organisation that issued the number, not the country
// of manufacture; no rule reads a country from it.
package gtin

import "strings"

// Twelve gives the twelve digits that name the item, in which two GTINs are
// compared: those of the 13-digit form without its check digit. A GTIN-12 has a
// zero before it there, a GTIN-14 a packaging digit too many. A GTIN-8 stays as
// it is, since its prefixes are issued apart.
func Twelve(valid string) string {
	switch len(valid) {
	case 12:
		return "0" + valid[:11]
	case 13:
		return valid[:12]
	case 14:
		return valid[1:13]
	}
	return valid
}

// ranges are prefixes of the 13-digit form under which no trade item of this
// kind is numbered. Source: GS1 General Specifications, section on GS1
// prefixes, and the public list of GS1 prefixes.
var ranges = []struct{ from, to, what string }{
	{"020", "029", "numbers that a shop or a region gives itself (restricted circulation)"},
	{"040", "049", "numbers that a company gives itself (restricted circulation)"},
	{"200", "299", "numbers that a shop or a region gives itself (restricted circulation)"},
	{"952", "952", "demonstrations and examples"},
	{"977", "977", "serial publications (ISSN)"},
	{"978", "979", "books (ISBN)"},
	{"980", "980", "refund receipts"},
	{"981", "984", "coupons"},
	{"990", "999", "coupons"},
}

// Restricted says what a valid GTIN's range is kept for, when no trade item of
// this kind is numbered in it.
func Restricted(valid string) (what string, ok bool) {
	if len(valid) == 8 {
		if valid[0] == '0' || valid[0] == '2' {
			return "numbers that a shop or a region gives itself (restricted circulation)", true
		}
		return "", false
	}
	prefix := Twelve(valid)[:3]
	for _, r := range ranges {
		if r.from <= prefix && prefix <= r.to {
			return r.what, true
		}
	}
	return "", false
}

// Has reports whether a valid GTIN begins with one of the company prefixes. A
// prefix may be written as on a GTIN-13 or, for a GTIN-12, as printed there.
func Has(valid string, prefixes []string) bool {
	for _, p := range prefixes {
		p = strings.ReplaceAll(strings.TrimSpace(p), " ", "")
		if p != "" && (strings.HasPrefix(Twelve(valid), p) || len(valid) == 12 && strings.HasPrefix(valid, p)) {
			return true
		}
	}
	return false
}
