package money

import (
	"strings"
	"sync"

	"counterfoil/parse/listing"
)

// shortSigns are the currencies of most prices. A text that is one of them beside
// a plain number needs no search for words.
var shortSigns = sync.OnceValue(func() map[string]currencyHit {
	signs := map[string]currencyHit{}
	for _, s := range []string{"€", "$", "£", "¥", "₽", "₹", "zł", "Kč", "Ft", "R$", "US$", "US $", "EUR", "USD", "GBP", "CHF", "PLN", "CZK", "HUF", "SEK", "NOK", "DKK", "RUB", "CAD", "AUD"} {
		if hits := findCurrencies(s); len(hits) == 1 && hits[0].end == len(s) && !hits[0].weak {
			signs[s] = hits[0]
		}
	}
	return signs
})

// parseShort is the short way for "EUR 312.40" and "312,40 €": up to four digits
// and perhaps two decimals, with a sign before or behind. It gives what the long
// way gives, or nothing.
func parseShort(text string, h Hints) (Price, bool) {
	start := strings.IndexAny(text, "123456789")
	if start < 0 || len(text) > 16 {
		return Price{}, false
	}
	end := start
	for digitAt(text, end) {
		end++
	}
	whole, amount := text[start:end], text[start:end]
	if len(text) > end && (text[end] == '.' || text[end] == ',') && digitRun(text, end+1) == 2 {
		amount = whole + "." + text[end+1:end+3]
		end += 3
	}
	if len(whole) > 4 {
		return Price{}, false
	}
	sign := text[end:]
	if start > 0 {
		if sign != "" {
			return Price{}, false
		}
		sign = strings.TrimSuffix(text[:start], " ")
	} else {
		sign = strings.TrimPrefix(sign, " ")
	}
	hit, ok := shortSigns()[sign]
	if !ok {
		return Price{}, false
	}
	p := Price{Amount: amount, Kind: listing.PriceFixed}
	(&scanned{currencies: []currencyHit{hit}}).setCurrency(&p, nil, h)
	return p, true
}
