package values

import (
	"slices"
	"strings"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
)

// availabilityWords are the wordings for stock. Source of the values: the
// schema.org enumeration ItemAvailability; wordings are common practice, no
// source.
var availabilityWords = phrase.NewSet(
	phrase.Of(listing.InStock, "", "instock, in_stock, in-stock, in stock, available, in store, ready to ship, available now"),
	phrase.Of(listing.InStock, "de", "auf lager, lieferbar, verfügbar, sofort lieferbar, sofort verfügbar, lagernd, vorrätig, am lager"),
	phrase.Of(listing.InStock, "fr", "en stock, disponible, disponible immédiatement"),
	phrase.Of(listing.InStock, "es", "en stock, disponible, en existencias, hay existencias, disponibles"),
	phrase.Of(listing.InStock, "it", "disponibile, disponibili, disponibilità immediata, in magazzino, pronta consegna"),
	phrase.Of(listing.InStock, "pl", "dostępny, dostępna, dostępne, dostępnych, na stanie, w magazynie, na magazynie"),
	phrase.Of(listing.InStock, "ru", "в наличии, есть в наличии, на складе, есть"),
	phrase.Of(listing.InStock, "zh", "有货, 现货, 有库存, 在售"),

	phrase.Of(listing.OutOfStock, "", "outofstock, out_of_stock, out-of-stock, out of stock, unavailable, not available, not in stock, no stock, currently unavailable, temporarily unavailable, no longer in stock"),
	phrase.Of(listing.OutOfStock, "de", "nicht verfügbar, nicht lieferbar, nicht auf lager, nicht vorrätig, derzeit nicht verfügbar, vergriffen"),
	phrase.Of(listing.OutOfStock, "fr", "rupture de stock, en rupture, en rupture de stock, indisponible, non disponible, pas en stock"),
	phrase.Of(listing.OutOfStock, "es", "sin stock, no disponible, sin existencias, fuera de stock, agotado temporalmente"),
	phrase.Of(listing.OutOfStock, "it", "non disponibile, esaurito, non in magazzino, terminato"),
	phrase.Of(listing.OutOfStock, "pl", "niedostępny, niedostępna, niedostępne, brak w magazynie, brak na stanie, chwilowo niedostępny"),
	phrase.Of(listing.OutOfStock, "ru", "нет в наличии, нет на складе, отсутствует, не в наличии, закончился"),
	phrase.Of(listing.OutOfStock, "zh", "缺货, 无货, 暂时缺货, 无库存"),

	phrase.Of(listing.SoldOut, "", "soldout, sold_out, sold out, sold, ausverkauft, verkauft, épuisé, vendu, agotado, vendido, venduto, tutto esaurito, wyprzedany, wyprzedane, sprzedany, sprzedane, продано, распродано, 售罄, 已售完, 已售罄"),
	phrase.Of(listing.PreOrder, "", "preorder, pre_order, pre-order, presale, vorbestellung, vorbestellbar, précommande, en précommande, reserva anticipada, preventa, preordine, prenotabile, przedsprzedaż, предзаказ, 预售, 预订"),
	phrase.Of(listing.BackOrder, "", "backorder, back_order, back-order, on backorder, made to order, nachbestellt, auf bestellung, auf anfrage lieferbar, sur commande, bajo pedido, por encargo, su ordinazione, na zamówienie, pod zamówienie, под заказ, 订货, 需订货"),
	phrase.Of(listing.Discontinued, "", "discontinued, no longer available, nicht mehr lieferbar, auslaufartikel, eingestellt, ne se fait plus, arrêté, descatalogado, fuori produzione, wycofany, снят с производства, снято с производства, 停产, 已停产"),
	phrase.Of(listing.LimitedStock, "", "limitedavailability, limited, limited availability, limited stock, low stock, only a few left, last one, last ones, only one left, wenige verfügbar, nur noch wenige, begrenzt verfügbar, stock limité, derniers articles, dernières pièces, pocas unidades, últimas unidades, ultimi pezzi, ultimi articoli, disponibilità limitata, ostatnie sztuki, ostatnia sztuka, осталось мало, заканчивается, 少量库存, 库存紧张, 仅剩"),
	phrase.Of(listing.InStoreOnly, "", "instoreonly, in store only, pickup only, collection only, nur abholung, nur selbstabholung, retrait en magasin uniquement, solo en tienda, solo recogida, solo ritiro, tylko odbiór osobisty, только самовывоз, 仅自提"),
	phrase.Of(listing.OnlineOnly, "", "onlineonly, online only, nur online, uniquement en ligne, solo online, tylko online, только онлайн"),
)

// yesNoWords answer a column such as "in stock".
var yesNoWords = phrase.NewSet(
	phrase.Of(listing.InStock, "", "yes, y, true, ja, oui, sí, si, tak, да, 是, 有"),
	phrase.Of(listing.OutOfStock, "", "no, n, false, nein, non, nie, нет, 否"),
)

// availabilityOf lists the different states that a text names.
func availabilityOf(text string) []string {
	var words []string
	folded := phrase.Fold(lastSegment(text))
	if answer, ok := yesNoWords.Whole(folded); ok {
		return []string{answer}
	}
	for _, m := range availabilityWords.All(folded) {
		if !slices.Contains(words, m.Value) {
			words = append(words, m.Value)
		}
	}
	// "Only 2 left, in stock": the narrower word says more.
	if len(words) == 2 && slices.Contains(words, listing.InStock) && slices.Contains(words, listing.LimitedStock) {
		return []string{listing.LimitedStock}
	}
	return words
}

func (s *setter) availability() {
	words := availabilityOf(s.text)
	if len(words) == 1 {
		s.put(words[0])
		return
	}
	// "12 available": the number is the stock.
	if n, ok := wholeOf(s.text); ok && len(words) == 0 && plainDigits(strings.TrimSpace(s.text)) {
		state := listing.InStock
		if n == 0 {
			state = listing.OutOfStock
		}
		s.put(state)
		return
	}
	s.unreadable("one known state of availability", "write one of the schema.org words, such as InStock")
}
