package values

import (
	"regexp"
	"strings"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
	"counterfoil/parse/money"
)

// depositWords name the deposit for the old part. Common practice, no source.
var depositWords = phrase.NewSet(
	phrase.Of(true, "", "core charge, core deposit, core fee, core surcharge, refundable core, refundable deposit, core, altteilpfand, altteil-pfand, altteilkaution, pfand, consigne, caution, depósito, depósito casco, casco, fianza, cauzione, deposito cauzionale, reso, kaucja, kaucji, depozyt, залог, залоговая стоимость, 旧件押金, 押金"),
)

// The amount right behind or before the words. What stands in between may only
// join them.
var (
	amountBehind = regexp.MustCompile(`^[ :=(]*(?:of|is|von|i\.h\.v\.|beträgt|de|di|in höhe von|w wysokości|в размере|为)?[ :=(]*((?:[$€£¥₽]|[a-z]{1,3}\$|(?:eur|usd|gbp|pln|chf|rub|cny) ?)? ?[0-9][0-9.,' ]*[0-9,.-]*(?: ?(?:€|\$|£|¥|₽|zł|zl|kč|元|eur|euro|usd|gbp|pln|chf|rub|cny|руб\.?|kr)(?:[^\pL]|$))?)`)
	amountBefore = regexp.MustCompile(`((?:[$€£¥₽]|[a-z]{1,3}\$|(?:eur|usd|gbp|pln|chf|rub|cny) ?)? ?[0-9][0-9.,']*(?: [0-9]{3}(?:,[0-9]{2})?)?(?: ?(?:€|\$|£|¥|₽|zł|zl|kč|元|eur|euro|usd|gbp|pln|chf|rub|cny|руб\.?|kr))?)[ ()]*(?:refundable|erstattbar(?:es|er)?|as|als|de|di|zwrotnej|zwrotna)?[ ()]*$`)
)

// coreDeposit reads "plus 150 EUR core deposit" and the like in running text.
// Only a sum in the listing's currency counts.
func (d *deriver) coreDeposit(f *passage) {
	if d.listing.Has(listing.CoreDeposit) || len(f.Raw) > maxProse {
		return
	}
	t := f.text()
	if m, ok := noDepositWords.Find(t, 0); ok {
		d.fill(listing.CoreDeposit, "0", t.Quote(m.Start, m.End), f.From)
		return
	}
	for _, m := range depositWords.All(t) {
		start, end, ok := amountSpan(t.Folded, m)
		if !ok {
			continue
		}
		words := t.Quote(start, end)
		sum := strings.Trim(words, " :=(),.-")
		p, err := money.Parse(sum, moneyHints(d.listing, d.hints))
		currency := d.listing.Value(listing.Currency)
		if err != nil || len(p.Doubts) > 0 || p.CurrencyText == "" || currency != "" && p.Currency != currency || zero(p.Amount) {
			continue
		}
		i, j := min(start, m.Start), max(end, m.End)
		d.fill(listing.CoreDeposit, p.Amount, strings.Trim(t.Quote(i, j), " (,."), f.From)
		return
	}
}

// amountSpan finds the sum beside the words at m in a folded text.
func amountSpan[T any](text string, m phrase.Match[T]) (start, end int, ok bool) {
	behind := text[m.End:min(len(text), m.End+48)]
	if at := amountBehind.FindStringSubmatchIndex(behind); at != nil && hasCurrency(behind[at[2]:at[3]]) {
		return m.End + at[2], m.End + at[3], true
	}
	from := max(0, m.Start-48)
	before := text[from:m.Start]
	if at := amountBefore.FindStringSubmatchIndex(before); at != nil && hasCurrency(before[at[2]:at[3]]) {
		return from + at[2], from + at[3], true
	}
	return 0, 0, false
}

func hasCurrency(s string) bool { return strings.Trim(s, "0123456789.,' -") != "" }
