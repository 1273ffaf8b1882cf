package savedpage

import (
	"strings"

	"golang.org/x/net/html/atom"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
)

// stockWords are the words for availability. Common practice, no source.
var stockWords = phrase.NewSet(
	phrase.Of(listing.OutOfStock, "en", "out of stock, not in stock, no stock, currently unavailable, temporarily unavailable, not available, unavailable, no longer available, out-of-stock, notify me when, email me when, back in stock soon, item is unavailable, this listing has ended, listing ended"),
	phrase.Of(listing.OutOfStock, "de", "nicht vorrätig, nicht auf lager, nicht lieferbar, nicht verfügbar, derzeit nicht, zurzeit nicht, momentan nicht, vergriffen, nicht mehr verfügbar, angebot beendet"),
	phrase.Of(listing.OutOfStock, "fr", "rupture de stock, en rupture, indisponible, non disponible, plus disponible, stock épuisé"),
	phrase.Of(listing.OutOfStock, "es", "sin stock, agotado, agotada, no disponible, sin existencias, fuera de stock"),
	phrase.Of(listing.OutOfStock, "it", "non disponibile, esaurito, non in magazzino"),
	phrase.Of(listing.OutOfStock, "pl", "brak w magazynie, niedostępny, niedostępna, chwilowo niedostępny, produkt niedostępny, wyprzedany, brak towaru"),
	phrase.Of(listing.OutOfStock, "ru", "нет в наличии, отсутствует, распродано, нет на складе, сообщить о поступлении"),
	phrase.Of(listing.OutOfStock, "zh", "缺货, 售罄, 无货, 暂无库存, 已下架, 補貨中, 到货通知"),
	phrase.Of(listing.OutOfStock, "", "esgotado, indisponível, não disponível, vypredané, vyprodáno, nie je skladom, není skladem, nedostupné, ni na zalogi, nav pieejams, stoc epuizat, indisponibil, uitverkocht, niet op voorraad, slutsåld, udsolgt, loppuunmyyty, tükendi, 품절"),
	phrase.Of(listing.SoldOut, "", "sold out, ausverkauft, verkauft, vendu, vendido, venduto, sprzedane, продано"),
	phrase.Of(listing.PreOrder, "", "pre-order, preorder, vorbestellen, vorbestellbar, précommande, précommander, preventa, reservar, preordine, przedsprzedaż, предзаказ, 预售, 预订"),
	phrase.Of(listing.BackOrder, "", "back order, backorder, on backorder, available on order, auf bestellung, sur commande, bajo pedido, su ordinazione, na zamówienie, под заказ, 订货"),
	phrase.Of(listing.LimitedStock, "", "low stock, only a few left, limited availability, wenige verfügbar, stock limité, últimas unidades"),
	phrase.Of(listing.InStock, "en", "in stock, available now, available for delivery, available online, available to order, ready to ship, in-stock, ships today, ships within, available"),
	phrase.Of(listing.InStock, "de", "auf lager, vorrätig, sofort lieferbar, lieferbar, verfügbar, sofort verfügbar, am lager"),
	phrase.Of(listing.InStock, "fr", "en stock, disponible, en magasin"),
	phrase.Of(listing.InStock, "es", "en stock, hay existencias, en existencia, disponible"),
	phrase.Of(listing.InStock, "it", "disponibile, disponibilità immediata, in magazzino"),
	phrase.Of(listing.InStock, "pl", "w magazynie, dostępny, dostępna, na stanie, od ręki"),
	phrase.Of(listing.InStock, "ru", "в наличии, есть в наличии, на складе"),
	phrase.Of(listing.InStock, "zh", "有货, 现货, 有库存"),
	phrase.Of(listing.InStock, "", "em stock, em estoque, disponível, skladom, skladem, na sklade, na zalogi, dobavljivo, ir noliktavā, pieejams, în stoc, in stoc, op voorraad, i lager, på lager, varastossa, stokta, raktáron, 재고 있음"),
)

// buyWords stand on the button that buys.
var buyWords = phrase.NewSet(
	phrase.Of(true, "", `add to cart, add to basket, add to bag, add to trolley, add to shopping bag, add to shopping cart, add to my bag, add item to cart, order now, checkout now, buy now, buy it now, purchase, place bid, make offer, buy tickets,
		in den warenkorb, in den warenkorb legen, zum warenkorb hinzufügen, in den einkaufswagen, jetzt kaufen, sofort kaufen, kaufen, in den korb,
		ajouter au panier, acheter, ajouter au sac, achat immédiat, añadir al carrito, añadir a la cesta, agregar al carrito, comprar, comprar ahora, añadir,
		aggiungi al carrello, acquista, compra, compralo subito, dodaj do koszyka, do koszyka, kup teraz, kup, kupuję,
		в корзину, купить, добавить в корзину, заказать, 加入购物车, 立即购买, 加入購物車, 购买, 立即訂購, 直接購買, 立即購買, 立即搶購, 立即抢购, 我要購買, 放入購物車, 放入购物车, 直接結帳, カートに入れる, 購入手続きへ, 買い物かごに入れる,
		adicionar ao carrinho, adicionar, adicionar ao cesto, do košíka, do košíku, vložiť do košíka, kúpiť, koupit, v košarico, dodaj v košarico, kupi,
		pievienot grozam, ielikt grozā, pirkt, adaugă în coș, adauga in cos, in winkelwagen, lägg i varukorgen, köp, läg i kurv, læg i kurv, ostoskoriin, lisää ostoskoriin,
		sepete ekle, kosárba, 구매하기, 바로구매, 장바구니, הוסף לסל, הוספה לסל`),
)

// stock reads the availability from wording: parts named after stock, the
// button that buys, short texts near the heading.
func (r *reader) stock() {
	p := r.p
	const outside = side | tile | chrome | basket | review | crumbs | noText | hidden | popup | slide | pickup | grid
	for _, i := range p.buttons {
		if p.nodes[i].ctx&(outside&^(basket|popup)) == 0 {
			r.stockElement(i)
		}
	}
	near := 0
	for _, i := range within(p.texts, max(p.title, 0), int32(len(p.nodes))) {
		x := &p.nodes[i]
		if x.ctx&outside != 0 || len(x.n.Data) > 80 || p.title < 0 {
			continue
		}
		if s := strings.TrimSpace(x.n.Data); len(s) > 3 || len(s) > 1 && s[0] >= 0x80 {
			if near++; near > maxNear {
				return
			}
			r.stockText(i, s, trustPage-50-near/20)
		}
	}
}

// maxNear is how many texts after the heading are searched for wording.
const maxNear = 400

func (r *reader) stockElement(i int32) {
	x := &r.p.nodes[i]
	presses := x.n.DataAtom == atom.Button || x.n.DataAtom == atom.Input && attr(x.n, "type") != "hidden" ||
		x.own&(buyName|button) != 0 && x.end-i < 12
	switch {
	case presses:
		text := firstOf(attr(x.n, "value"), r.p.text(i, 60), attr(x.n, "title"), attr(x.n, "aria-label"))
		if text == "" || len(text) > 50 {
			return
		}
		f := phrase.Fold(text)
		if m, ok := buyWords.Find(f, 0); !ok || m.Start > 3 {
			if x.own&stockName != 0 || x.n.DataAtom == atom.Button {
				r.stockText(i, text, trustPage-40)
			}
			return
		}
		if hasAttr(x.n, "disabled") {
			return
		}
		trust := trustLoose - 60
		if x.own&buyName != 0 {
			trust += 20
		}
		r.putStock(listing.InStock, i, text, trust, "the button that buys is offered")
	case x.own&stockName != 0 && x.ctx&basket == 0:
		if text := r.p.text(i, 121); text != "" && len(text) <= 120 {
			r.stockText(i, text, trustPage)
		}
	}
}

func (r *reader) stockText(i int32, s string, trust int) {
	m, ok := stockWords.Find(phrase.Fold(s), 0)
	if !ok || m.Start > 40 {
		return
	}
	if m.Value == listing.SoldOut && len(s) > 12 { // "sold 12 times" tells of earlier sales
		return
	}
	if m.Value == listing.InStock && m.Start > 0 && digits(strings.TrimSpace(s[:min(m.Start, len(s))])) {
		r.putPair(listing.QuantityAvailable, s[:min(m.Start, len(s))], i, trustPage) // "3 available"
	}
	if m.Value == listing.OutOfStock && r.ofVariant(i) {
		trust -= 150 // one size may be gone while the item is on sale
	}
	r.putStock(m.Value, i, s, trust, "")
}

// ofVariant reports whether a text stands in a list of choices.
func (r *reader) ofVariant(i int32) bool {
	for j, up := i, 0; j > 0 && up < 4; j, up = r.p.nodes[j].parent, up+1 {
		switch r.p.tag(j) {
		case atom.Option, atom.Select, atom.Label, atom.Li:
			return true
		}
	}
	return false
}

func (r *reader) putStock(word string, i int32, raw string, trust int, why string) {
	e := r.element(i)
	r.put(candidate{name: listing.Availability, raw: raw, value: word, source: srcPage, path: r.p.path(e), node: e, trust: trust, why: why})
}
