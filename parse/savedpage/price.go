package savedpage

import (
	"sort"
	"strconv"
	"strings"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
	"counterfoil/parse/money"
)

// rank scores the spots as the price of the item with the page's heading. Names
// that say price, a currency, nearness to the heading in the tree and in
// reading order speak for it.
func (r *reader) rank(list []spot) {
	p := r.p
	n := int32(len(p.nodes))
	for i := range list {
		s := &list[i]
		if s.m&(notThePrice|side|hidden) != 0 && !r.ownBasket(s) || s.repeated() {
			s.score = -1000
			continue
		}
		if r.notAPrice(s) {
			s.score = -1000
			continue
		}
		if r.withoutTax(s) {
			s.score -= 25
		}
		if s.m&priceName != 0 {
			s.score += 30
		}
		if s.m&salePrice != 0 {
			s.score += 15
		}
		if s.currency {
			s.score += 12
		}
		if s.m&(tile|slide|popup) != 0 {
			s.score -= 25
		}
		s.score -= min(letters(s.text), 20)
		if p.title < 0 {
			s.score -= int(s.i * 20 / n)
			continue
		}
		if s.i > p.title {
			s.score += 25 - min(25, int(s.i-p.title)/40)
		} else {
			s.score -= 5 + min(30, int(p.title-s.i)/20)
		}
		common := p.common(s.i, p.title)
		size := p.nodes[common].end - common
		switch {
		case size < n/10:
			s.score += 20
		case size < n/4:
			s.score += 10
		}
	}
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return list[order[a]].score > list[order[b]].score })
	sorted := make([]spot, len(list))
	for i, k := range order {
		sorted[i] = list[k]
	}
	copy(list, sorted)
}

// ownBasket reports whether all that speaks against a sum is that it stands in
// a form that puts the item into the basket, below the heading.
func (r *reader) ownBasket(s *spot) bool {
	return s.m&(notThePrice|side|hidden)&^basket == 0 && s.i > r.p.title && r.p.title >= 0
}

// notAPrice reports whether the words before a sum, in the short text around
// it, say that it is a saving, a rate or the cost of delivery.
func (r *reader) notAPrice(s *spot) bool {
	amount := s.text[strings.IndexAny(s.text, "0123456789"):]
	last := ""
	for j, up := s.i, 0; up < 3 && j > 0; j, up = r.p.nodes[j].parent, up+1 {
		text := r.p.priceText(j, 81)
		if len(text) > 80 {
			return false
		}
		before, _, ok := strings.Cut(text, amount)
		if !ok || before == last {
			continue
		}
		last = before
		f := phrase.Fold(before)
		for _, m := range otherSums.All(f) {
			if !hasDigit(f.Folded[m.End:]) {
				return true
			}
		}
	}
	return false
}

// otherSums are words before a sum that is not the price. Common practice, no
// source.
var otherSums = phrase.NewSet(
	phrase.Of(true, "", `you save, save, saving, sie sparen, ersparnis, gespart, économisez, économie, ahorra, ahorras, ahorro, risparmi, oszczędzasz, экономия, выгода, скидка, 省, 立减`),
	phrase.Of(true, "", `monthly, instalments of, installments of, payments of, monatlich, raten, rate, raty, mensualités, par mois, cuotas de, cuotas, al mes, al mese, rata, ежемесячно, рассрочка, 每期, 分期`),
	phrase.Of(true, "", `shipping, delivery, postage, p&p, versand, versandkosten, lieferung, livraison, frais de port, envío, gastos de envío, spedizione, dostawa, wysyłka, доставка, 运费, 運費,
		verzending, verzendkosten, frete, portes, frakt, fragt, toimitus, doprava, poštovné, dostava, poštarina, szállítás, livrare, transport, μεταφορικά, kargo, משלוח, الشحن, 送料, 배송비`),
	phrase.Of(true, "", `estimate, starting price, starting bid, schätzpreis, startpreis, estimation, mise à prix, precio de salida, base d'asta, cena wywoławcza, начальная цена, 起拍价, coupon, gutschein, voucher, bon d'achat, cupón, kupon, купон, 折價券, 优惠券`),
)

// bidWords stand beside the price of a running auction. Common practice, no
// source.
var bidWords = phrase.NewSet(phrase.Of(true, "", `bid, bids, current bid, starting bid, gebot, gebote, aktuelles gebot, enchère, enchères, puja, pujas, offerta attuale, offerte,
	licytacja, licytuj, aktualna licytacja, ставка, ставок, текущая ставка, 出价, 当前出价, 竞拍`))

// isBid reports whether the short text around a sum, as far as it holds no other,
// speaks of bids.
func (r *reader) isBid(s *spot) bool {
	for j, up := s.i, 0; up < 3 && j > 0; j, up = r.p.nodes[j].parent, up+1 {
		if up > 0 && r.holdsOther(j, s) {
			return false
		}
		text := r.p.text(j, 81)
		if len(text) > 80 {
			return false
		}
		if _, ok := bidWords.Find(phrase.Fold(text), 0); ok {
			return true
		}
	}
	return false
}

// holdsOther reports whether an element holds another sum than s.
func (r *reader) holdsOther(j int32, s *spot) bool {
	for i := range r.money1 {
		if x := &r.money1[i]; x.i != s.i && x.amount != s.amount && r.p.contains(j, x.i) {
			return true
		}
	}
	return false
}

// withoutTax reports whether the sum or the short text around it says that it
// is a net price. Where both stand, the gross price is the selling price
// (Directive 98/6/EC, Article 2).
func (r *reader) withoutTax(s *spot) bool {
	last := ""
	for j, up := s.i, 0; up < 3 && j > 0; j, up = r.p.nodes[j].parent, up+1 {
		text := r.p.text(j, 81)
		if len(text) > 80 {
			return false
		}
		if text == last {
			continue // an element around nothing else
		}
		last = text
		if p, err := money.Parse(text, r.money()); err == nil && p.Tax != "" {
			if v, err := strconv.ParseFloat(p.Amount, 64); err != nil || v != s.amount {
				return false // the words are about another sum
			}
			return p.Tax == listing.TaxExcluded
		}
	}
	return false
}

// common gives the lowest common ancestor.
func (p *page) common(a, b int32) int32 {
	for a > 0 && !p.contains(a, b) {
		a = p.nodes[a].parent
	}
	return max(a, 0)
}

// minScore is the least score at which a sum is taken for the item's price.
const minScore = 25

// shown is the price that the page shows for its item.
type shown struct {
	now, was *spot
	sure     bool // well above every other sum
}

// shownPrice picks the price and the struck-out price beside it.
func (r *reader) shownPrice() shown {
	list := r.money1
	out := shown{now: r.onlyOld(list)}
	for i := range list {
		if out.now != nil && out.now.was {
			break
		}
		s := &list[i]
		if s.score < minScore {
			break
		}
		if s.was {
			continue
		}
		if out.now == nil {
			out.now, out.sure = s, s.score >= minScore+30
		} else if s.amount != out.now.amount && out.now.score-s.score < 8 {
			out.sure = false
		}
	}
	if out.now == nil {
		return out
	}
	for i := range list {
		s := &list[i]
		if s.was && s.amount > out.now.amount && s.m&(notThePrice|side) == 0 && !s.repeated() && r.near(s.i, out.now.i, 80) {
			out.was = s
			break
		}
	}
	return out
}

// onlyOld is the one price of a page whose template calls it an old price while
// nothing is struck out and no other price stands there.
func (r *reader) onlyOld(list []spot) *spot {
	var best *spot
	for i := range list {
		s := &list[i]
		switch {
		case s.score < minScore:
			return best
		case !s.was || s.m&struck != 0 || wasText(s.text):
			return nil
		case best == nil:
			best = s
		}
	}
	return best
}

// near reports whether two elements meet in a small part of the page.
func (r *reader) near(a, b, size int32) bool {
	c := r.p.common(a, b)
	return r.p.nodes[c].end-c <= size
}
