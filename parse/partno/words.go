package partno

import "counterfoil/parse/internal/phrase"

type label uint8

const (
	noLabel     label = iota
	partLabel         // a part number follows
	oeLabel           // OE or cross-reference numbers follow
	serialNo          // a serial number follows
	serialBrief       // "SN", which is also an oil grade
	gtinLabel         // a GTIN, EAN or UPC follows
	otherLabel        // another number follows, such as a phone or an order number
)

// labelWords are the labels before numbers. Common practice, no source; native
// review needed.
var labelWords = phrase.NewSet(
	phrase.Of(partLabel, "en", "part no, part nr, part number, part num, part #, part#, partno, p/n, pn, mpn, manufacturer part number, mfr part number, mfg part number, item part number, turbo no, turbo number"),
	phrase.Of(partLabel, "de", "teilenummer, teilenr, teile-nr, teile nr, teile-nummer, turbonummer, turbolader nr, turbolader-nr, herstellernummer, hersteller-nr, artikelnummer hersteller, ersatzteilnummer"),
	phrase.Of(partLabel, "fr", "numéro de pièce, n° de pièce, no de pièce, référence pièce, réf. pièce, référence fabricant, réf. fabricant, réf fabricant, référence turbo, numéro turbo"),
	phrase.Of(partLabel, "es", "número de pieza, nº de pieza, número de parte, referencia fabricante, ref. fabricante, número de turbo"),
	phrase.Of(partLabel, "it", "codice ricambio, codice produttore, numero parte, cod. produttore, codice turbo, numero turbina"),
	phrase.Of(partLabel, "pl", "numer części, nr części, numer katalogowy, nr katalogowy, numer turbiny, numer producenta"),
	phrase.Of(partLabel, "ru", "номер детали, номер запчасти, каталожный номер, номер турбины, артикул производителя"),
	phrase.Of(partLabel, "zh", "零件号, 配件号, 零件编号, 产品编号, 增压器号, 型号编号"),

	phrase.Of(oeLabel, "en", "oe no, oe nr, oe number, oe numbers, oe, oe#, oe ref, oe reference, oem no, oem nr, oem number, oem numbers, oem#, oem ref, oem reference, original no, original number, cross reference, cross-reference, cross ref, reference numbers, replaces no, interchange part number"),
	phrase.Of(oeLabel, "de", "oe-nr, oe-nummer, oe-nummern, oe nummer, oem-nr, oem-nummer, oe/oem referenznummer, oe/oem referenznummer(n), referenznummer, referenznummern, vergleichsnummer, vergleichsnummern, vergleichs-nr, originalnummer, original-nr, originalteilenummer"),
	phrase.Of(oeLabel, "fr", "réf. d'origine, référence d'origine, références d'origine, numéro d'origine, réf. oe, référence oe, référence oem, n° oe, numéro oe"),
	phrase.Of(oeLabel, "es", "referencia original, referencias originales, número oe, número oem, referencia oe, referencia oem, ref. oem, números de referencia"),
	phrase.Of(oeLabel, "it", "codice originale, codici originali, numero oe, numero oem, codice oe, codice oem, riferimento oe, riferimento originale"),
	phrase.Of(oeLabel, "pl", "numer oe, nr oe, numer oem, nr oem, numery oe, numer oryginału, numer oryginalny, numery referencyjne"),
	phrase.Of(oeLabel, "ru", "оригинальный номер, оригинальные номера, номер oe, номера oe, номер oem, ое номер, oem номер, кросс-номер, кросс-номера"),
	phrase.Of(oeLabel, "zh", "原厂编号, 原厂号, oe号, oem号, oe编号, 原厂零件号, 对照号"),

	phrase.Of(serialNo, "en", "s/n, serial no, serial nr, serial number, serial #, serial#, serial, ser. no, ser no"),
	phrase.Of(serialBrief, "", "sn, s-n"),
	phrase.Of(serialNo, "de", "seriennummer, serien-nr, seriennr, serien nr, serien-nummer, fabriknummer, fertigungsnummer, herstellnummer"),
	phrase.Of(serialNo, "fr", "numéro de série, n° de série, no de série, n° série, num. de série, numéro série"),
	phrase.Of(serialNo, "es", "número de serie, nº de serie, n° de serie, nro de serie, n.º de serie, num. de serie"),
	phrase.Of(serialNo, "it", "numero di serie, n. di serie, n° di serie, matricola, numero seriale, seriale, n. serie"),
	phrase.Of(serialNo, "pl", "numer seryjny, nr seryjny, nr. seryjny, numer fabryczny, nr fabryczny"),
	phrase.Of(serialNo, "ru", "серийный номер, серийный №, сер. номер, сер. №, сер.номер, с/н, заводской номер, зав. номер, зав. №"),
	phrase.Of(serialNo, "zh", "序列号, 系列号, 出厂编号, 出厂号, 机身号"),

	phrase.Of(gtinLabel, "", "gtin, gtin-8, gtin-12, gtin-13, gtin-14, gtin8, gtin12, gtin13, gtin14, ean, ean13, ean-13, ean8, ean code, ean-code, upc, upc-a, barcode, jan, isbn, strichcode, code-barres, code barres, código de barras, codice a barre, kod kreskowy, kod ean, штрихкод, штрих-код, 条形码, 条码"),

	phrase.Of(otherLabel, "en", "tel, tel., telephone, phone, mobile, cell, fax, call, messenger, contact, order no, order number, invoice no, vat no, vat number, vin, chassis no, engine no, item no, item number, sku, stock no, lot no, batch no, zip, iban"),
	phrase.Of(otherLabel, "de", "telefon, handy, mobil, anrufen, kontakt, bestellnummer, bestell-nr, rechnungsnummer, ust-id, ust-idnr, steuernummer, fahrgestellnummer, fin, motornummer, artikelnummer, artikel-nr, art.-nr, lagernummer, plz, hrb"),
	phrase.Of(otherLabel, "fr", "téléphone, portable, appelez, n° de commande, numéro de commande, siret, siren, tva, n° de châssis, numéro de châssis"),
	phrase.Of(otherLabel, "es", "teléfono, móvil, llamar, número de pedido, nif, cif, número de bastidor"),
	phrase.Of(otherLabel, "it", "telefono, cellulare, chiamare, numero ordine, p. iva, partita iva, numero telaio"),
	phrase.Of(otherLabel, "pl", "kom., komórka, dzwoń, dzwonić, numer zamówienia, nip, regon, numer vin, numer aukcji"),
	phrase.Of(otherLabel, "ru", "телефон, тел, тел., моб, звоните, номер заказа, инн, огрн, номер кузова"),
	phrase.Of(otherLabel, "zh", "电话, 手机, 联系, 订单号, 车架号, 发动机号, 货号"),
)

// numberWords may stand between a label and its number.
var numberWords = phrase.NewSet(
	phrase.Of(true, "", "no, no., nr, nr., number, numbers, num, num., nummer, nummern, numer, numero, numéro, número, номер, n°, n., code, codes, is, ist, est, es, to, 号, 为, 是, turbo, turbolader, oem, oe, part, original, and"),
)

// stockWords turn a count into the seller's stock, and are no lot.
var stockWords = phrase.NewSet(
	phrase.Of(true, "", "available, in stock, left, sold, verfügbar, auf lager, lagernd, vorrätig, verkauft, disponible*, disponibil*, en stock, vendu*, restant*, en existencia*, vendido*, disponibili, disponibile, in magazzino, vendut*, dostępn*, na stanie, na magazynie, sprzedan*, в наличии, на складе, продано, осталось, 库存, 现货, 已售, 可售"),
)

// besideWords come before accessories, whose count is not that of the offer.
var besideWords = phrase.NewSet(
	phrase.Of(true, "", "with, incl, including, includes, plus, and, mit, inkl, inklusive, samt, und, avec, inclus, et, con, incluye, y, e, z, wraz, oraz, i, с, вместе, и, minimum, min, moq, mindestens, ab, from, over, more than, über, 含, 带, 送"),
)
