package money

import "counterfoil/parse/internal/phrase"

// word is what a word beside a price says.
type word uint8

const (
	none        word = iota
	from             // the lowest of several prices
	upTo             // the highest of several prices
	to               // between the ends of a range
	bid              // an auction's bid
	request          // price on request
	taxIncluded      // with value added tax
	taxExcluded      // without it
	perUnit          // for one piece
	perOther         // for a measure
	pieces           // counts pieces
	times            // multiplies
	instalment       // one of several payments
	was              // an earlier price or a list price
	now              // the price that holds
	filler           // words that change nothing
)

// priceWords are the words around prices. Common practice, no source; native
// review needed.
var priceWords = phrase.NewSet(
	phrase.Of(from, "en", "from, starting at, starting from, as low as, prices from"),
	phrase.Of(from, "de", "ab, schon ab, preis ab"),
	phrase.Of(from, "fr", "à partir de, dès, a partir de"),
	phrase.Of(from, "es", "desde, a partir de"),
	phrase.Of(from, "it", "da, a partire da, partire da"),
	phrase.Of(from, "pl", "od, już od"),
	phrase.Of(from, "ru", "от, начиная с, цена от"),
	phrase.Of(from, "zh", "起, 起价"),
	phrase.Of(from, "", "vanaf, från, fra, od"),

	phrase.Of(upTo, "", "up to, bis zu, jusqu'à, hasta, fino a, nawet do, вплоть до, 最高"),
	phrase.Of(to, "", "to, bis, à, a, al, do, до, 至, 到"),

	phrase.Of(bid, "en", "bid, bids, current bid, starting bid, opening bid, starting price"),
	phrase.Of(bid, "de", "gebot, gebote, aktuelles gebot, startpreis, startgebot, höchstgebot, mindestgebot"),
	phrase.Of(bid, "fr", "enchère, enchères, enchère actuelle, mise à prix"),
	phrase.Of(bid, "es", "puja, pujas, puja actual, precio de salida"),
	phrase.Of(bid, "it", "asta, offerta attuale, offerta corrente, base d'asta"),
	phrase.Of(bid, "pl", "licytacja, aktualna oferta, cena wywoławcza"),
	phrase.Of(bid, "ru", "ставка, текущая ставка, стартовая цена, начальная цена"),
	phrase.Of(bid, "zh", "出价, 当前出价, 起拍价, 当前价"),

	phrase.Of(request, "en", "price on request, on request, request price, request a quote, price on application, poa, p.o.a, por, call for price, ask for price, contact for price, contact us for price"),
	phrase.Of(request, "de", "preis auf anfrage, auf anfrage, preis anfragen, a. a."),
	phrase.Of(request, "fr", "prix sur demande, sur demande, nous consulter, sur devis"),
	phrase.Of(request, "es", "precio a consultar, a consultar, consultar precio, consultar, precio bajo pedido"),
	phrase.Of(request, "it", "prezzo su richiesta, su richiesta, prezzo a richiesta"),
	phrase.Of(request, "pl", "cena na zapytanie, na zapytanie, zapytaj o cenę, zapytaj"),
	phrase.Of(request, "ru", "цена по запросу, по запросу, договорная, цена договорная, уточняйте, уточняйте цену"),
	phrase.Of(request, "zh", "价格面议, 面议, 询价, 电议, 价格请咨询"),

	phrase.Of(taxIncluded, "en", "incl vat, incl. vat, inc vat, inc. vat, including vat, vat included, with vat, incl tax, incl. tax, inc tax, including tax, tax included, tax incl, inc gst, incl gst, incl. gst, including gst"),
	phrase.Of(taxIncluded, "de", "inkl. mwst, inkl mwst, inkl. ust, inkl ust, inkl. mwst., incl. mwst, incl mwst, inklusive mehrwertsteuer, inkl. mehrwertsteuer, inkl. 19% mwst, inkl. 19 % mwst, inkl. gesetzl. mwst, brutto, bruttopreis"),
	phrase.Of(taxIncluded, "fr", "ttc, tva comprise, tva incluse, toutes taxes comprises, tvac"),
	phrase.Of(taxIncluded, "es", "iva incl, iva incl., iva incluido, con iva, impuestos incluidos"),
	phrase.Of(taxIncluded, "it", "iva inclusa, iva compresa, iva incl, con iva, incl. iva"),
	phrase.Of(taxIncluded, "pl", "z vat, brutto, zawiera vat, w tym vat"),
	phrase.Of(taxIncluded, "ru", "с ндс, включая ндс, вкл. ндс, в т.ч. ндс, в том числе ндс"),
	phrase.Of(taxIncluded, "zh", "含税, 含税价, 已含税, 含增值税"),
	phrase.Of(taxIncluded, "", "s dph, vč. dph, včetně dph, inkl. moms, incl. btw, kdv dahil"),

	phrase.Of(taxExcluded, "en", "ex vat, ex. vat, exc vat, excl vat, excl. vat, excluding vat, plus vat, + vat, +vat, without vat, vat excluded, net, ex tax, excl tax, excl. tax, excluding tax, tax excl, plus tax, + tax, ex gst, excl gst, + gst"),
	phrase.Of(taxExcluded, "de", "zzgl. mwst, zzgl mwst, zzgl. ust, exkl. mwst, exkl mwst, excl. mwst, ohne mwst, + mwst, plus mwst, zuzüglich mehrwertsteuer, zzgl. 19% mwst, zzgl. 19 % mwst, netto, nettopreis"),
	phrase.Of(taxExcluded, "fr", "ht, h.t, hors taxe, hors taxes, hors tva, htva"),
	phrase.Of(taxExcluded, "es", "iva no incluido, iva no incl, sin iva, + iva, más iva, mas iva, impuestos no incluidos"),
	phrase.Of(taxExcluded, "it", "iva esclusa, iva escl, + iva, più iva, senza iva, oltre iva, netto"),
	phrase.Of(taxExcluded, "pl", "bez vat, netto, + vat, plus vat"),
	phrase.Of(taxExcluded, "ru", "без ндс, не включая ндс, + ндс"),
	phrase.Of(taxExcluded, "zh", "不含税, 未税, 未税价, 税前, 不含增值税"),
	phrase.Of(taxExcluded, "", "bez dph, exkl. moms, excl. btw, kdv hariç"),

	phrase.Of(perUnit, "en", "each, /each, ea, /ea, per unit, /unit, per piece, /piece, /pc, /pcs, per pc, per item, apiece"),
	phrase.Of(perUnit, "de", "pro stück, je stück, /stück, /stk, pro stk, je stk, pro einheit, stückpreis, das stück"),
	phrase.Of(perUnit, "fr", "la pièce, l'unité, par pièce, par unité, /pièce, /unité, à l'unité, pièce"),
	phrase.Of(perUnit, "es", "por unidad, la unidad, /unidad, /ud, c/u, cada uno, por pieza"),
	phrase.Of(perUnit, "it", "al pezzo, cadauno, cad., /cad, /pezzo, /pz, per pezzo, per unità, l'uno"),
	phrase.Of(perUnit, "pl", "za sztukę, /szt, za szt, /sztuka, /sztukę, szt"),
	phrase.Of(perUnit, "ru", "за штуку, /шт, за шт, /штука, за единицу, шт"),
	phrase.Of(perUnit, "zh", "/台, /件, /个, /套, 每件, 每台, 每个, 一台, 单价"),

	phrase.Of(perOther, "", "pro kilogramm, pro kg, /kg, per kg, per kilogram, je kg, le kilo, al kg, za kg, за кг, /公斤, pro liter, /l, per litre, pro meter, /m, per metre, /sqft, per sqft, per pair, /pair, pro paar"),

	phrase.Of(pieces, "", "pc, pcs, pieces, units, stk, stück, pièces, pcs., unidades, uds, pezzi, pz, szt, sztuki, шт, штуки, 件, 个, 台"),
	phrase.Of(times, "", "x, ×, mal, fois, veces, volte, rate, raten"),
	phrase.Of(instalment, "", "/month, per month, monthly, /mo, mtl, monatlich, pro monat, im monat, /monat, ratenzahlung, in raten, par mois, /mois, al mes, /mes, mensuales, al mese, /mese, miesięcznie, /mies, w miesiąc, в месяц, /мес, instalments, installments, sem juros, 每月, /月"),

	phrase.Of(was, "en", "was, rrp, msrp, list price, you save, save, old price, regular price, instead of"),
	phrase.Of(was, "de", "uvp, statt, bisher, alter preis, listenpreis, sie sparen, früher"),
	phrase.Of(was, "fr", "au lieu de, prix conseillé, ancien prix, prix barré, vous économisez"),
	phrase.Of(was, "es", "antes, pvp recomendado, precio anterior, ahorra"),
	phrase.Of(was, "it", "prima, prezzo di listino, invece di, risparmi"),
	phrase.Of(was, "pl", "poprzednia cena, stara cena, zamiast, oszczędzasz, cena katalogowa"),
	phrase.Of(was, "ru", "старая цена, было, вместо, вы экономите, рекомендованная цена"),
	phrase.Of(was, "zh", "原价, 市场价, 划线价, 节省"),

	phrase.Of(now, "", "now, now only, sale price, jetzt, jetzt nur, aktueller preis, maintenant, prix actuel, ahora, precio actual, ora, adesso, prezzo attuale, teraz, aktualna cena, сейчас, текущая цена, новая цена, 现价, 促销价, 特价"),

	phrase.Of(filler, "en", "price, our price, only, about, approx, buy it now, fixed price, asking price, negotiable, obo, ono, or best offer, firm, for, unit price, total, total price, special price"),
	phrase.Of(filler, "de", "preis, unser preis, nur, vb, vhb, fp, festpreis, verhandlungsbasis, sofortkauf, sofort-kaufen, gesamtpreis, endpreis, für, ca"),
	phrase.Of(filler, "fr", "prix, notre prix, seulement, prix fixe, à débattre, achat immédiat, prix total"),
	phrase.Of(filler, "es", "precio, nuestro precio, solo, sólo, negociable, precio fijo, precio total, compra ya"),
	phrase.Of(filler, "it", "prezzo, nostro prezzo, solo, trattabile, trattabili, compralo subito, prezzo totale"),
	phrase.Of(filler, "pl", "cena, nasza cena, tylko, do negocjacji, kup teraz, zł/szt"),
	phrase.Of(filler, "ru", "цена, наша цена, только, торг, купить сейчас, стоимость"),
	phrase.Of(filler, "", "shipping, delivery, postage, p&p, versand, versandkosten, lieferung, porto, livraison, frais de port, envío, gastos de envío, spedizione, spese di spedizione, wysyłka, dostawa, доставка, 运费, 邮费"),
	phrase.Of(filler, "", "core, core charge, core deposit, deposit, refundable, pfand, altteilpfand, altteil, consigne, depósito, casco, cauzione, kaucja, залог, 押金, 旧件押金"),
	phrase.Of(filler, "", "cena, naše cena, běžná cena, pris, prijs, fiyat, preț, pret, ár, hinta, τιμή, precios, preço, valor"),
	phrase.Of(filler, "zh", "价格, 售价, 一口价, 仅, 价, 价钱"),
)
