package values

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
	"counterfoil/parse/money"
	"counterfoil/parse/partno"
)

const (
	decimalHint  = "write the price with decimals, or name the column's decimal mark"
	currencyHint = "name the currency in a column of its own, or for the pages of a site in a --pages file"
)

// moneyHints gives what is known for reading a sum of the listing.
func moneyHints(l *listing.Listing, h *Hints) money.Hints {
	m := money.Hints{Currency: l.Value(listing.Currency), Language: h.Language, Host: h.Host, DecimalMark: h.DecimalMark}
	if m.Currency == "" {
		m.Currency = h.Currency
	}
	if m.Language == "" {
		m.Language = l.Value(listing.Language)
	}
	return m
}

func (s *setter) price() {
	var others []sum
	if len(s.text) > shortPrice {
		others = sumsBeside(s.text)
	}
	p, ok := s.parseBut(others)
	if !ok {
		return
	}
	switch {
	case p.Kind == listing.PriceRequest:
		s.aside(listing.PriceKind, p.Kind)
		return
	case zero(p.Amount):
		s.unreadable("a price: it is zero", "leave the cell empty when there is no price")
		return
	}
	s.put(p.Amount)
	if p.Kind != listing.PriceFixed {
		s.aside(listing.PriceKind, p.Kind)
	}
	if p.Tax != "" {
		s.aside(listing.PriceTax, p.Tax)
	}
	switch {
	case p.Lot > 0:
		s.aside(listing.LotQuantity, fmt.Sprint(p.Lot))
	case p.PerUnit:
		s.aside(listing.LotQuantity, "1")
	}
	s.currencyOfPrice(p)
	s.beside(p, others)
}

// shortPrice is the length in bytes up to which a text holds one sum alone.
const shortPrice = 14

// besideWords are words in a price text beside sums that are not the price.
// Common practice, no source.
var besideWords = phrase.NewSet(
	phrase.Of(listing.PriceWas, "", "was, rrp, msrp, list price, old price, regular price, instead of, uvp, statt, alter preis, listenpreis, früher, au lieu de, prix conseillé, ancien prix, antes, precio anterior, pvp recomendado, prima, prezzo di listino, invece di, stara cena, poprzednia cena, zamiast, старая цена, вместо, 原价, 市场价, 原價"),
	phrase.Of(listing.Shipping, "", "shipping, postage, delivery, p&p, versand, versandkosten, porto, livraison, frais de port, envío, gastos de envío, spedizione, spese di spedizione, wysyłka, dostawa, доставка, 运费, 邮费, 運費"),
	phrase.Of(listing.CoreDeposit, "", "core charge, core deposit, refundable deposit, deposit, pfand, altteilpfand, consigne, depósito, casco, cauzione, kaucja, залог, 押金, 旧件押金"),
)

// sum is an amount of a price text that words set apart from the price.
type sum struct {
	name       listing.Name
	text       string // the amount with its currency
	start, end int    // of amount and words, in the text
}

func sumsBeside(text string) (list []sum) {
	t := phrase.Fold(text)
	for _, m := range besideWords.All(t) {
		start, end, ok := amountSpan(t.Folded, m)
		if !ok || len(list) > 0 && list[len(list)-1].text == t.Quote(start, end) {
			continue
		}
		i, j := t.Span(min(start, m.Start), max(end, m.End))
		list = append(list, sum{m.Value, t.Quote(start, end), i, j})
	}
	return list
}

// parseBut reads the price without the costs that stand beside it, when they
// make its text one of several amounts.
func (s *setter) parseBut(others []sum) (money.Price, bool) {
	rest := s.text
	for k := len(others) - 1; k >= 0; k-- {
		if o := others[k]; o.name != listing.PriceWas {
			rest = rest[:o.start] + rest[o.end:]
		}
	}
	if rest != s.text {
		p, err := money.Parse(strings.Trim(rest, " +,;("), moneyHints(s.listing, s.hints))
		if err == nil && p.Amount != "" && len(p.Doubts) == 0 {
			return p, true
		}
	}
	return s.parse()
}

// beside stores what else a price text says: the sums that its words set apart
// from the price, and of how many units the lot is.
func (s *setter) beside(price money.Price, others []sum) {
	for _, o := range others {
		p, err := money.Parse(strings.Trim(o.text, " :=(),.-+"), moneyHints(s.listing, s.hints))
		if err != nil || len(p.Doubts) > 0 || p.Currency != price.Currency || p.Amount == price.Amount || zero(p.Amount) {
			continue
		}
		if o.name == listing.PriceWas && !less(price.Amount, p.Amount) {
			continue
		}
		s.aside(o.name, p.Amount)
	}
	if len(s.text) > shortPrice && price.Lot == 0 && !price.PerUnit {
		if n, _, _, ok := partno.LotSize(strings.ReplaceAll(s.text, "/", " ")); ok && n > 1 {
			s.aside(listing.LotQuantity, fmt.Sprint(n))
		}
	}
}

// less compares two plain decimal numbers.
func less(a, b string) bool {
	x, err1 := strconv.ParseFloat(a, 64)
	y, err2 := strconv.ParseFloat(b, 64)
	return err1 == nil && err2 == nil && x < y
}

// currencyOfPrice stores the currency that the price text names. It wins over
// the currency field: it stands beside the figure.
func (s *setter) currencyOfPrice(p money.Price) {
	if p.Currency == "" {
		if p.CurrencyText != "" && !p.Ambiguous {
			s.problem(listing.Partial, fmt.Sprintf("%q is no currency of ISO 4217 in use", p.CurrencyText), currencyHint)
		}
		return
	}
	own := listing.Field{Name: listing.Currency, Value: p.Currency, Raw: p.CurrencyText, From: s.from}
	other, known := s.listing.Get(listing.Currency)
	if known && other.Value == p.Currency {
		return
	}
	s.listing.Set(own)
	if known {
		s.disagree(own, other)
	}
}

// disagree records that the price and the currency field name two currencies.
func (s *setter) disagree(price, field listing.Field) {
	s.listing.Disagreements = append(s.listing.Disagreements, listing.Disagreement{Kept: price, Other: field})
	s.problem(listing.Notice, fmt.Sprintf("the price is in %s, the currency field says %s", price.Value, field.Value),
		"check the row: the currency beside the price was kept")
}

// parse reads a sum of money and reports what makes it unusable.
func (s *setter) parse() (money.Price, bool) {
	p, err := money.Parse(s.text, moneyHints(s.listing, s.hints))
	switch {
	case errors.Is(err, money.ErrNoAmount):
		s.unreadable("a sum of money", "")
		return p, false
	case err != nil:
		s.problem(listing.Partial, err.Error(), "")
		return p, false
	}
	for _, d := range p.Doubts {
		if d == money.OneSeparator {
			s.problem(listing.Notice, fmt.Sprintf("%q was read as %s", listing.Shorten(s.text, 40), p.Amount), decimalHint)
			continue
		}
		s.problem(listing.Partial, fmt.Sprintf("%q is %s, not one price", listing.Shorten(s.text, 60), d), "")
		return p, false
	}
	return p, true
}

func zero(amount string) bool { return strings.Trim(amount, "0.") == "" }

// sum reads a sum beside the price: a struck-out price, shipping, a deposit.
// Its currency is compared with that of the listing once all fields are set.
func (s *setter) sum() {
	p, ok := s.parse()
	if ok && p.Kind != listing.PriceRequest {
		s.put(p.Amount)
	}
}

// freeWords say that nothing is charged. Common practice, no source.
var freeWords = phrase.NewSet(
	phrase.Of(true, "en", "free, free shipping, free delivery, free postage, shipping included, postage included, included, no charge"),
	phrase.Of(true, "de", "kostenlos, kostenfrei, gratis, frei, versandkostenfrei, portofrei, kostenloser versand, gratis versand, versand kostenlos, inkl. versand, inklusive versand, versand inklusive, frei haus"),
	phrase.Of(true, "fr", "gratuit, gratuite, livraison gratuite, frais de port offerts, port offert, offert, offerte, port inclus, livraison offerte, livraison incluse"),
	phrase.Of(true, "es", "gratis, envío gratis, envío gratuito, gratuito, envío incluido, portes incluidos"),
	phrase.Of(true, "it", "gratis, gratuita, gratuito, spedizione gratuita, spedizione inclusa, incluso, inclusa"),
	phrase.Of(true, "pl", "darmowa, darmowa wysyłka, darmowa dostawa, bezpłatna, bezpłatna wysyłka, gratis, wysyłka gratis, w cenie"),
	phrase.Of(true, "ru", "бесплатно, бесплатная доставка, доставка бесплатно, бесплатная"),
	phrase.Of(true, "zh", "包邮, 免运费, 免邮, 免费, 免费配送"),
)

func (s *setter) shipping() {
	if !plainNumber(s.text) {
		folded := phrase.Fold(s.text)
		if m, ok := freeWords.Find(folded, 0); ok && !strings.ContainsAny(folded.Folded, "0123456789") && !negated(folded, m.Start) {
			s.put("0")
			return
		}
	}
	s.sum()
}

// noDepositWords say that no old part is wanted back. Common practice, no
// source.
var noDepositWords = phrase.NewSet(
	phrase.Of(true, "", "no core, no core charge, no core deposit, no core required, no core return, without core charge, without core, ohne pfand, ohne altteilpfand, kein pfand, kein altteilpfand, keine altteilrückgabe, sans consigne, pas de consigne, sin casco, sin depósito, senza cauzione, senza reso, bez kaucji, bez depozytu, без залога, без обмена, 无需旧件, 无押金"),
)

func (s *setter) coreDeposit() {
	if !plainNumber(s.text) {
		if _, ok := noDepositWords.Find(phrase.Fold(s.text), 0); ok {
			s.put("0")
			return
		}
	}
	s.sum()
}

func (s *setter) currency() {
	code, text, candidates := money.Currency(s.text, money.Hints{Currency: s.hints.Currency, Language: s.hints.Language, Host: s.hints.Host})
	if code == "" && len(s.text) == 3 {
		// A code in small letters.
		upper := strings.ToUpper(s.text)
		if _, ok := listing.MinorUnits(upper); ok {
			code = upper
		}
	}
	if code == "" {
		hint := "write the ISO 4217 code"
		if len(candidates) > 0 {
			hint = "write the ISO 4217 code, such as " + strings.Join(candidates[:min(3, len(candidates))], ", ")
		}
		if text == "" {
			s.unreadable("a currency", hint)
			return
		}
		if other := s.listing.Value(listing.Currency); other == "" || !slices.Contains(candidates, other) {
			s.unreadable("one currency", hint)
		}
		return
	}
	field := listing.Field{Name: listing.Currency, Value: code, Raw: s.raw, From: s.from}
	old, known := s.listing.Get(listing.Currency)
	price, priced := s.listing.Get(listing.Price)
	if known && old.Value != code && priced && old.From == price.From {
		s.disagree(old, field)
		return
	}
	s.listing.Set(field)
}

var kindWords = phrase.NewSet(
	phrase.Of(listing.PriceFixed, "", "fixed, fixed price, buy it now, festpreis, sofortkauf, sofort-kaufen, prix fixe, achat immédiat, precio fijo, compra ya, prezzo fisso, compralo subito, cena stała, kup teraz, фиксированная, фиксированная цена, купить сейчас, 一口价"),
	phrase.Of(listing.PriceFrom, "", "from, ab, starting at, à partir de, desde, da, od, от, 起"),
	phrase.Of(listing.PriceBid, "", "bid, auction, auktion, gebot, enchère, enchères, subasta, puja, asta, licytacja, aukcja, аукцион, ставка, 拍卖, 竞价"),
	phrase.Of(listing.PriceRequest, "", "request, on request, price on request, auf anfrage, sur demande, a consultar, su richiesta, na zapytanie, по запросу, 面议, 询价"),
)

func (s *setter) priceKind() {
	kind, ok := kindWords.Whole(phrase.Fold(s.text))
	if !ok {
		s.unreadable("a kind of price", "write fixed, from, bid or request")
		return
	}
	s.put(kind)
}

var taxWords = phrase.NewSet(
	phrase.Of(listing.TaxIncluded, "", "included, incl, incl., gross, brutto, inkl., inkl. mwst, ttc, iva incluido, iva inclusa, z vat, с ндс, 含税"),
	phrase.Of(listing.TaxExcluded, "", "excluded, excl, excl., net, netto, zzgl. mwst, exkl. mwst, ht, sin iva, iva esclusa, bez vat, без ндс, 不含税"),
)

func (s *setter) priceTax() {
	tax, ok := taxWords.Whole(phrase.Fold(s.text))
	if !ok {
		// The long wordings are those of a price text.
		p, err := money.Parse("1 "+s.text, money.Hints{})
		if err != nil || p.Tax == "" {
			s.unreadable("a tax basis", "write included or excluded")
			return
		}
		tax = p.Tax
	}
	s.put(tax)
}
