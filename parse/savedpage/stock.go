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
	phrase.Of(listing.OutOfStock, "", "produto indisponível, sem estoque, sem stock, ej i lager, slut i lager, slutsåld, ikke på lager, ikke på lageret, ei varastossa, ei saatavilla, tilapäisesti loppu, vyprodané, vypredané, momentálne nedostupné, momentálně nedostupné, nije dostupno, nije raspoloživo, nedostupno, rasprodano, nincs készleten, nincs raktáron, elfogyott, nem elérhető, nu este în stoc, nu este disponibil, indisponibilă"),
	phrase.Of(listing.OutOfStock, "", "изчерпан, няма наличност, не е наличен, немає в наявності, відсутній, закінчився, εξαντλημένο, εξαντλήθηκε, μη διαθέσιμο, stokta yok, stoklarda yok, tükendi, nėra sandėlyje, neturime, ei ole laos, läbi müüdud, nav noliktavā, izpārdots, אזל מהמלאי, אזל המלאי, לא במלאי, חסר במלאי, غير متوفر, نفدت الكمية, نفذت الكمية, 在庫なし, 在庫切れ, 売り切れ, 品切れ, 入荷待ち, 일시품절, 재고없음, 재고 없음, 缺貨, 售完, 已售完, 無庫存, 貨到通知, 暫無庫存, hết hàng, stok habis, niet leverbaar, niet beschikbaar, tijdelijk uitverkocht"),
	phrase.Of(listing.SoldOut, "", "完売, myyty, eladva, satıldı, נמכר, تم البيع, sold out, ausverkauft, verkauft, vendu, vendido, venduto, sprzedane, продано"),
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
	phrase.Of(listing.InStock, "", "en almacén, em armazém, disponível em stock, produto disponível, pronta entrega, finns i lager, i lageret, saatavilla, heti saatavilla, ihned k odeslání, ihneď k odoslaniu, k dispozici, k dispozícii, na skladištu, na skladě, dostupno, raspoloživo, készleten, elérhető, azonnal szállítható, disponibil, în magazin, stoc disponibil, stoc suficient"),
	phrase.Of(listing.InStock, "", "наличен, на склад, в наличност, в наявності, є в наявності, διαθέσιμο, άμεσα διαθέσιμο, σε απόθεμα, stokta var, stoklarda, yra sandėlyje, turime, laos olemas, laos, ir pieejams, במלאי, זמין במלאי, متوفر, متوفر في المخزون, 在庫あり, 即納, 재고있음, 有庫存, 現貨, 庫存充足, còn hàng, tersedia, stok tersedia, leverbaar, direct leverbaar, uit voorraad leverbaar"),
)

// buyWords stand on the button that buys.
var buyWords = phrase.NewSet(
	phrase.Of(true, "", `add to cart, add to basket, add to bag, add to trolley, add to your cart, add to your basket, add to your bag, add to my cart, add to my basket, add to order, pre-order now, reserve now, add to shopping bag, add to shopping cart, add to my bag, add item to cart, order now, checkout now, buy now, buy it now, purchase, place bid, make offer, buy tickets,
		in den warenkorb, in den warenkorb legen, zum warenkorb hinzufügen, in den einkaufswagen, jetzt kaufen, sofort kaufen, kaufen, in den korb,
		ajouter au panier, acheter, ajouter au sac, achat immédiat, añadir al carrito, añadir a la cesta, agregar al carrito, comprar, comprar ahora, añadir,
		aggiungi al carrello, acquista, compra, compralo subito, dodaj do koszyka, do koszyka, kup teraz, kup, kupuję,
		в корзину, купить, добавить в корзину, заказать, 加入购物车, 立即购买, 加入購物車, 购买, 立即訂購, 直接購買, 立即購買, 立即搶購, 立即抢购, 我要購買, 放入購物車, 放入购物车, 直接結帳, カートに入れる, 購入手続きへ, 買い物かごに入れる,
		adicionar ao carrinho, adicionar, adicionar ao cesto, do košíka, do košíku, vložiť do košíka, kúpiť, koupit, v košarico, dodaj v košarico, kupi,
		pievienot grozam, ielikt grozā, pirkt, adaugă în coș, adauga in cos, in winkelwagen, lägg i varukorgen, köp, läg i kurv, læg i kurv, ostoskoriin, lisää ostoskoriin,
		sepete ekle, satın al, hemen al, kosárba, kosárba teszem, megveszem, megrendelem, 구매하기, 바로구매, 장바구니, הוסף לסל, הוספה לסל, הוסף לעגלה, הוספה לעגלה, קנה עכשיו, לרכישה, أضف إلى السلة, أضف الى السلة, أضف إلى عربة التسوق, اشتر الآن, اشتري الآن,
		bestellen, jetzt bestellen, toevoegen aan winkelwagen, in mijn winkelwagen, in winkelmandje, köp nu, lägg i varukorg, legg i handlekurv, legg i handlekurven, kjøp, kjøp nå, køb, køb nu, osta, osta nyt, lisää koriin, lisää ostoskoriin,
		přidat do košíku, pridať do košíka, vložit do košíku, do nákupného košíka, objednat, objednať, kúpiť teraz, koupit nyní, dodaj u košaricu, u košaricu, stavi u korpu, kupi odmah, adaugă în cos, adaugă în coşul de cumpărături, cumpără, cumpără acum, comandă,
		купи, добави в количката, поръчай, купити, в кошик, додати в кошик, замовити, купить сейчас, оформить заказ, προσθήκη στο καλάθι, στο καλάθι, αγορά, į krepšelį, dėti į krepšelį, pirkti, lisa korvi, lisa ostukorvi, osta kohe, ievietot grozā,
		カートに追加, 今すぐ購入, 今すぐ買う, 注文する, 入札する, 장바구니 담기, 지금 구매, thêm vào giỏ, thêm vào giỏ hàng, mua ngay, masukkan keranjang, tambah ke keranjang, beli sekarang, 加到購物車, 立刻購買, 立即结算, 马上抢, comprar agora, adicionar à sacola, adicionar ao carrinho de compras, añadir al carro, agregar al carro, lo quiero, aggiungi al carello, acquista ora, ajouter, ajouter à mon panier, je commande, commander`),
)

// replyWords stand on the button with which one answers an advertisement: as
// long as it can be answered, the item is offered.
var replyWords = phrase.NewSet(
	phrase.Of(true, "", `reply, contact seller, contact the seller, message seller, send message, email seller, call seller, show phone number, show number, ask the seller, chat with seller,
		kontaktieren, anbieter kontaktieren, verkäufer kontaktieren, nachricht schreiben, nachricht senden, telefonnummer anzeigen, anfrage senden, contacter le vendeur, contacter, envoyer un message, voir le numéro,
		contactar, contactar al vendedor, enviar mensaje, ver teléfono, contatta, contatta il venditore, invia messaggio, mostra numero, napisz wiadomość, wyślij wiadomość, pokaż numer, zadzwoń,
		написать, написать сообщение, написать продавцу, показать телефон, позвонить, contactar vendedor, enviar mensagem, ver telefone, bericht sturen, stuur bericht, neem contact op, kontakta säljaren, skicka meddelande, kontakt sælger, send melding, lähetä viesti, ota yhteyttä,
		napsat prodejci, kontaktovat prodejce, kontaktovať predajcu, kontaktirajte prodajalca, pošalji poruku, üzenet küldése, trimite mesaj, contactează vânzătorul, изпрати съобщение, написати, зателефонувати, επικοινωνία με τον πωλητή, mesaj gönder, שלח הודעה, 联系卖家, 聯絡賣家, 出品者に質問, 판매자에게 문의`),
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
		text := firstOf(attr(x.n, "value"), r.p.spaced(i, 60), attr(x.n, "title"), attr(x.n, "aria-label"))
		if text == "" || len(text) > 50 {
			return
		}
		r.stockButton(i, text, trustLoose-60)
	case x.own&stockName != 0 && x.ctx&basket == 0:
		if text := r.p.text(i, 121); text != "" && len(text) <= 120 {
			r.stockText(i, text, trustPage)
		}
	}
}

// stockButton reads the button with text: one that buys, or one named after
// buying in whatever language, says that the item can be had.
func (r *reader) stockButton(i int32, text string, trust int) {
	x := &r.p.nodes[i]
	button := r.button(text)
	if buys := button == buttonBuys; !buys && (x.own&stockName != 0 || x.n.DataAtom == atom.Button) && r.stockText(i, text, trustPage-40) {
		return
	}
	why := "the button that buys is offered"
	if button != buttonBuys {
		if button == buttonReplies {
			trust, why = trust-100, "the advertisement can be answered"
		} else if x.own&buyName == 0 || letters(text) == 0 {
			return
		} else {
			trust -= 40
		}
	}
	if hasAttr(x.n, "disabled") {
		return
	}
	if x.own&buyName != 0 {
		trust += 20
	}
	r.putStock(listing.InStock, i, text, trust, why)
}

// What a button's words say.
const (
	buttonOther = iota + 1
	buttonBuys
	buttonReplies
)

// button reads the words of a button; many have the same.
func (r *reader) button(text string) int {
	if kind := r.buttons[text]; kind != 0 {
		return kind
	}
	kind, f := buttonOther, phrase.Fold(text)
	if m, ok := buyWords.Find(f, 0); ok && m.Start <= 3 {
		kind = buttonBuys
	} else if m, ok := replyWords.Find(f, 0); ok && m.Start <= 3 {
		kind = buttonReplies
	}
	if r.buttons == nil {
		r.buttons = map[string]int{}
	}
	r.buttons[text] = kind
	return kind
}

// stockText reads wording, and reports whether it says something.
func (r *reader) stockText(i int32, s string, trust int) bool {
	f := phrase.Fold(s)
	m, ok := stockWords.Find(f, 0)
	if !ok || m.Start > 40 {
		return false
	}
	if m.Value == listing.SoldOut && len(s) > 12 { // "sold 12 times" tells of earlier sales
		if _, none := soldOut.Find(f, 0); !none {
			return false
		}
	}
	if n := leftOver(s[:min(m.Start, len(s))]); m.Value == listing.InStock && n != "" {
		r.putPair(listing.QuantityAvailable, n, i, trustPage)
	}
	if (m.Value == listing.OutOfStock || m.Value == listing.SoldOut) && (r.ofVariant(i) || r.ofOther(i)) {
		trust -= 150 // one size may be gone while the item is on sale
	}
	r.putStock(m.Value, i, s, trust, "")
	return true
}

// soldOut are those words for sold that mean there is none left, in a sentence as
// well. Common practice, no source.
var soldOut = phrase.NewSet(phrase.Of(true, "", `sold out, ausverkauft, restlos verkauft, 完売, tükendi, tutto esaurito, uitverkocht, udsolgt, slutsåld, utsolgt, loppuunmyyty`))

// leftOver reads the number in front of the words that say an item is in stock:
// "3" in "3 available" and "Only 3 left in stock"; "" when there is none.
func leftOver(before string) string {
	words := strings.Fields(before)
	if k := len(words) - 1; k > 0 {
		switch strings.ToLower(strings.Trim(words[k], ".")) {
		case "left", "pcs", "pc", "pieces", "units", "stück", "stk", "szt", "шт", "pièces", "piezas", "unidades", "pezzi":
			words = words[:k]
		}
	}
	if len(words) == 0 || len(words) > 3 {
		return ""
	}
	n := words[len(words)-1]
	for _, w := range words[:len(words)-1] {
		switch strings.ToLower(w) {
		case "only", "just", "still", "nur", "noch", "seulement", "plus", "que", "solo", "sólo", "quedan", "ancora", "tylko", "jeszcze", "ещё", "еще", "осталось":
		default:
			return ""
		}
	}
	if len(n) > 5 || !digits(n) {
		return ""
	}
	return n
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

// ofOther reports whether a text tells of a way of delivery, stands in one of
// several offers alike, or is one of the words that a button changes between.
func (r *reader) ofOther(i int32) bool {
	p := r.p
	if p.nodes[i].ctx&shipping != 0 {
		return true
	}
	for k := range r.money1 {
		if s := &r.money1[k]; s.repeated() && p.nodes[p.common(s.i, i)].n.DataAtom == atom.Tr {
			return true
		}
	}
	for j, up := p.nodes[i].parent, 0; j > 0 && up < 3; j, up = p.nodes[j].parent, up+1 {
		if x := &p.nodes[j]; x.n.DataAtom == atom.A || x.n.DataAtom == atom.Button || x.own&buyName != 0 && x.end-j < 12 {
			m, ok := buyWords.Find(phrase.Fold(p.spaced(j, 80)), 0)
			return ok && m.Start <= 3
		}
	}
	return false
}

// spaced gives the texts of an element with a space between: a button holds
// several words of which style sheets show one.
func (p *page) spaced(i int32, limit int) string {
	var b strings.Builder
	for _, k := range within(p.texts, i, p.nodes[i].end) {
		if p.nodes[k].ctx&(noText|hidden) == 0 && b.Len() <= limit {
			b.WriteString(p.nodes[k].n.Data)
			b.WriteByte(' ')
		}
	}
	return clip(squeeze(b.String()), limit)
}

func (r *reader) putStock(word string, i int32, raw string, trust int, why string) {
	e := r.element(i)
	r.put(candidate{name: listing.Availability, raw: raw, value: word, source: srcPage, path: r.p.path(e), node: e, trust: trust, why: why})
}
