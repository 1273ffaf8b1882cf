package table

import (
	"slices"
	"strings"
	"sync"

	"counterfoil/parse/listing"
)

// synonyms are the usual headers for each field in exports, in eight
// languages; a header that stands at two fields is ambiguous and is not used.
// Common practice, no source; native review needed.
var synonyms = []struct {
	field listing.Name
	names string
}{
	{listing.ListingID, "listing id, listing, artikel id, angebots nr, anzeigennr, listing number, listing no, item id, item number, itemid, item no, offer id, ad id, ad number, auction id, advert id, product id, productid, angebotsnummer, angebots id, anzeigennummer, anzeigen id, artikelnummer, artikelnr, artikel nr, numéro d'annonce, id annonce, référence annonce, numéro de l'objet, id anuncio, número de anuncio, número de artículo, id annuncio, numero annuncio, numero inserzione, id oferty, numer oferty, nr oferty, numer aukcji, id aukcji, номер объявления, id объявления, номер лота, 商品编号, 商品id, id, ad ref, ref id, offer no, auction no, inserat nr, inserats id, inserat id, anzeigen nr, annonce id, identifiant, codice annuncio, id inserzione, nr ogłoszenia, id ogłoszenia"},
	{listing.URL, "link, web address, listing url, item url, product url, page, page url, permalink, adresse, webadresse, angebotslink, produktlink, lien, lien annonce, adresse web, enlace, enlace del anuncio, collegamento, link annuncio, indirizzo web, odnośnik, adres, link do oferty, adres url, ссылка, ссылка на товар, адрес страницы, 链接, 商品链接, 网址, web link, listing link, link to offer, offer url, ad url, lien de l'annonce, url de l'annonce, enlace al anuncio, link all'annuncio, link oferty, adres strony, ссылка на объявление, angebots url, internetadresse, 网页链接"},
	{listing.CapturedAt, "captured, capture time, capture date, scraped at, scrape date, crawled at, retrieved, retrieved at, retrieval date, snapshot, snapshot date, date captured, timestamp, date, erfasst am, erfasst, abgerufen am, abrufdatum, datum, capturé le, date de capture, relevé le, date de relevé, fecha, fecha de captura, capturado, data, data rilevazione, rilevato il, data pobrania, pobrano, дата, дата снятия, дата сбора, 日期, 采集时间, 抓取时间, scraped, scraped on, scrape time, seen at, seen on, collected, collected at, collected on, collection date, date collected, observed at, observed on, crawl date, crawled, fetched at, fetched, download date, downloaded at, exported at, export date, abgerufen, abruf, erfassungsdatum, date du relevé, date de collecte, fecha de recogida, data raccolta, data zrzutu, data zebrania, дата выгрузки, 抓取日期"},
	{listing.Title, "name, item title, listing title, product name, product title, item name, headline, titel, artikelbezeichnung, bezeichnung, angebotstitel, produktname, titre, intitulé, nom du produit, désignation, libellé, título, titulo, nombre, nombre del producto, titolo, nome, nome prodotto, denominazione, tytuł, nazwa, nazwa produktu, tytuł oferty, название, наименование, заголовок, товар, 标题, 名称, 商品名称, 品名, 商品标题, ad title, offer title, subject, titre de l'annonce, título del anuncio, titolo annuncio, titolo dell'inserzione, tytuł ogłoszenia, заголовок объявления, titel des angebots, anzeigentitel, angebotsbezeichnung, 商品名"},
	{listing.Brand, "make, maker, manufacturer, brand name, marke, hersteller, fabrikat, markenname, marque, fabricant, constructeur, marca, fabricante, produttore, marchio, costruttore, marka, producent, бренд, марка, производитель, 品牌, 制造商, 厂商, mfr, mfg, item brand, part brand, part maker, part manufacturer, marque de la pièce, marca del producto, marka części"},
	{listing.Model, "model name, type, model number, frame, modell, typ, bautyp, baugröße, modellbezeichnung, modèle, type turbo, modelo, tipo, modello, model turbosprężarki, модель, тип, 型号, 型号规格, turbo model, frame size, turbotyp, turbo type"},
	{listing.PartNumber, "part no, part nr, partno, partnumber, part #, part, mpn, pn, p n, manufacturer part number, manufacturer part no, mfr part number, mfg part number, maker number, turbo number, turbo no, teilenummer, teilenr, teile nr, teile nummer, herstellernummer, hersteller nr, hersteller teilenummer, herstellerteilenummer, turbonummer, ersatzteilnummer, numéro de pièce, n de pièce, no de pièce, référence fabricant, référence constructeur, référence pièce, réf fabricant, número de pieza, número de parte, referencia fabricante, referencia del fabricante, ref fabricante, codice ricambio, numero parte, codice produttore, numero di parte, numer części, nr części, numer katalogowy, numer katalogowy części, numer producenta, nr katalogowy, номер детали, номер запчасти, артикул производителя, каталожный номер, номер турбины, 零件号, 配件号, 零件编号, 制造商零件编号, mfr part #, mfr part no, maker no, maker part number, oem part number, kod producenta, ref pieza, referencia pieza, référence de la pièce, 型号编码"},
	{listing.OENumbers, "oe number, oe numbers, oe no, oe nr, oe, oem, oem number, oem numbers, oem no, oem nr, oe oem, oe oem number, cross reference, cross references, cross reference numbers, reference numbers, oe nummer, oe nummern, oem nummer, oem nummern, vergleichsnummern, vergleichsnummer, referenznummern, oe referenznummern, originalnummer, oe oem referenznummer, références d'origine, référence d'origine, référence oe, référence oem, numéro oe, numéro oem, référence oe oem, referencias originales, referencia original, número oe, número oem, números oem, referencia oe oem, codici originali, codice originale, codice oe, codice oem, numeri oe, numery oe, numer oe, numer oem, numery oem, numery referencyjne, numer oryginału, оригинальные номера, оригинальный номер, номера oe, oem номер, номер oem, кросс номера, 原厂编号, oe号, oem号, 原厂号, oem ref, oem refs, oe ref, oe refs, cross refs, xref, x ref, interchange, interchange numbers, interchange number, referenznummern oe, réf oe, réf d'origine, réf origine, réfs oe, ref oe, refs oe, referencias oe, riferimenti oe, codici oe, numery zamienne, номера ое"},
	{listing.GTIN, "ean, ean13, ean 13, ean code, ean nummer, upc, upc code, barcode, bar code, gtin13, gtin 13, gtin14, jan, strichcode, code barres, code ean, gencod, código de barras, código ean, codice a barre, codice ean, kod ean, kod kreskowy, штрихкод, штрих код, 条形码, 条码, gtin 8, gtin 12, ean upc, ean gtin"},
	{listing.Condition, "item condition, cond, state of item, zustand, artikelzustand, état, état de l'objet, condición, estado, estado del artículo, condizione, condizioni, stato oggetto, stan, stan produktu, stan przedmiotu, состояние, состояние товара, 成色, 新旧程度, 商品状况, item state, 新旧"},
	{listing.UnitType, "unit, item type, product type, part type, scope of supply, einheit, teileart, artikelart, produktart, lieferumfang, type de pièce, type de produit, type d'article, tipo de pieza, tipo de producto, tipo ricambio, tipo prodotto, tipo articolo, rodzaj części, typ produktu, rodzaj produktu, тип детали, тип товара, вид товара, 产品类型, 部件类型, typ der einheit, tipo de unidad, type d'unité, tipo di unità, rodzaj jednostki"},
	{listing.Price, "item price, unit price, sale price, selling price, current price, asking price, offer price, preis, verkaufspreis, vk, angebotspreis, stückpreis, artikelpreis, aktueller preis, preis brutto, bruttopreis, preis netto, nettopreis, prix, prix de vente, prix unitaire, prix actuel, prix ttc, prix ht, precio, precio de venta, precio unitario, precio actual, prezzo, prezzo di vendita, prezzo unitario, prezzo attuale, cena, cena brutto, cena netto, cena sprzedaży, cena jednostkowa, цена, стоимость, цена продажи, цена за штуку, 价格, 售价, 单价, 现价, ask, price each, buy now price, sofortkaufpreis, festpreis, prix affiché, prix demandé, цена руб"},
	{listing.Currency, "currency code, curr, ccy, price currency, währung, waehrung, währungscode, devise, monnaie, moneda, divisa, valuta, waluta, валюта, 货币, 币种, cur, iso currency, currency iso, price ccy"},
	{listing.Shipping, "shipping cost, shipping costs, shipping price, shipping fee, postage, p p, delivery, delivery cost, delivery price, freight, versand, versandkosten, versandpreis, porto, lieferkosten, frais de port, frais de livraison, livraison, port, coût de livraison, envío, gastos de envío, coste de envío, costo de envío, portes, spedizione, spese di spedizione, costo spedizione, costi di spedizione, wysyłka, koszt wysyłki, koszty wysyłki, dostawa, koszt dostawy, доставка, стоимость доставки, цена доставки, 运费, 邮费, 物流费, ship cost, shipping charge, carriage, postage packing, postage and packing, frais d'envoi, frais d'expédition, coste envío, costo di spedizione, koszt przesyłki, przesyłka"},
	{listing.CoreDeposit, "core charge, core, core fee, core price, core surcharge, deposit, exchange deposit, pfand, altteilpfand, altteil pfand, kaution, altteilkaution, consigne, caution, depósito, depósito casco, casco, fianza, cauzione, deposito, deposito cauzionale, kaucja, depozyt, kaucja za rdzeń, залог, залоговая стоимость, депозит, 押金, 旧件押金, surcharge, exchange surcharge, altteilwert, fianza casco, cauzione reso, kaucja zwrotna, обменный залог"},
	{listing.QuantityAvailable, "quantity, qty, stock, available, verfügbar, disponible, disponibile, dostępne, available quantity, quantity in stock, stock quantity, stock level, in stock, on hand, menge, bestand, lagerbestand, verfügbare menge, stückzahl, anzahl, quantité, quantité disponible, stock disponible, cantidad, cantidad disponible, existencias, quantità, quantità disponibile, giacenza, disponibilità quantità, ilość, ilość dostępna, liczba sztuk, stan magazynowy, количество, остаток, количество в наличии, 数量, 库存, 库存数量, units, qty available, qty in stock, units available, stock qty, number available, lager, verfügbare stückzahl, qté, qté disponible, stock dispo, cant, unidades, unidades disponibles, disponibili, pezzi disponibili, dostępne sztuki, кол во, в наличии"},
	{listing.LotQuantity, "lot size, lot, units per lot, pack size, pack quantity, units per pack, pieces, pcs, set size, losgröße, packungsgröße, packungsinhalt, stück pro packung, verpackungseinheit, taille du lot, pièces par lot, unités par lot, tamaño del lote, unidades por lote, unidades por paquete, pezzi per confezione, dimensione lotto, pezzi per lotto, sztuk w zestawie, ilość w zestawie, sztuk w opakowaniu, размер лота, штук в комплекте, количество в упаковке, 每包数量, 批量, pieces in lot, units in lot, stück je angebot, sztuk w ofercie, штук в лоте"},
	{listing.Seller, "seller name, shop, shop name, store, store name, vendor, vendor name, merchant, supplier, dealer, verkäufer, verkäufername, händler, anbieter, shopname, vendeur, nom du vendeur, boutique, marchand, vendedor, nombre del vendedor, tienda, venditore, nome venditore, negozio, sprzedawca, sprzedający, nazwa sprzedawcy, sklep, продавец, имя продавца, магазин, поставщик, 卖家, 店铺, 商家, 店铺名称, 供应商, sold by, trader, trader name, account name, nom vendeur, vendu par, nazwa konta, 卖家名称, 店铺名"},
	{listing.SellerID, "seller number, seller login, seller username, vendor id, merchant id, shop id, store id, username, user name, verkäufer id, händler id, verkäufernummer, benutzername, id vendeur, identifiant vendeur, id vendedor, id venditore, id sprzedawcy, login sprzedawcy, id продавца, 卖家id, 店铺id, seller no, seller account, seller key, account, account id, account no, user id, userid, vendor no, verkäufer nr, händlernummer, händler nr, id du vendeur, n vendeur, nr sprzedawcy"},
	{listing.SellerLocation, "location, item location, seller country, seller city, city, place, standort, ort, artikelstandort, verkäuferstandort, lieu, localisation, ville, pays du vendeur, ubicación, localidad, país del vendedor, ubicación del artículo, località, luogo, città, posizione venditore, lokalizacja, miasto, miejscowość, местоположение, город, местонахождение, 所在地, 卖家所在地, 地区, country of seller, seller's country, vendor country, land des verkäufers, verkäuferland, pays vendeur, país vendedor, paese del venditore, paese venditore, kraj sprzedawcy, страна продавца, 卖家国家"},
	{listing.SellerFeedback, "feedback, feedback %, feedback score, feedback percent, feedback percentage, positive feedback, positive feedback %, positive %, seller rating, rating, bewertung, bewertungen %, positive bewertungen, verkäuferbewertung, bewertung %, évaluation, évaluations positives, note vendeur, taux de satisfaction, valoración, valoraciones positivas, votos positivos, valutazione, feedback positivi, feedback positivo, ocena, ocena sprzedawcy, pozytywne opinie, рейтинг, рейтинг продавца, положительные отзывы, 好评率, 卖家信誉, % positive, pos feedback, seller feedback %, note du vendeur, évaluations, oceny, reputation"},
	{listing.SellerFeedbackCount, "feedback count, number of ratings, ratings, rating count, reviews, review count, number of reviews, feedbacks, anzahl bewertungen, bewertungen, nombre d'évaluations, nombre d'avis, avis, número de valoraciones, valoraciones, opiniones, numero di feedback, numero valutazioni, recensioni, liczba ocen, liczba opinii, opinie, количество отзывов, отзывы, число отзывов, 评价数, 评论数"},
	{listing.SellerSince, "member since, seller since, registered, registered since, joined, account created, mitglied seit, verkäufer seit, registriert seit, angemeldet seit, membre depuis, inscrit depuis, vendeur depuis, miembro desde, registrado desde, vendedor desde, membro dal, iscritto dal, registrato dal, członek od, zarejestrowany od, sprzedawca od, на сайте с, зарегистрирован, дата регистрации, 注册时间, 开店时间, account since, account opened, account created on, registration date, registered on, on site since, registriert am, konto seit, inscrit le, compte créé, compte créé le, fecha de alta, na portalu od, konto od, data rejestracji, data registrazione, registrato il, 注册日期"},
	{listing.ShipsFrom, "ships from, shipping from, ship from, dispatched from, dispatch country, shipped from, versand aus, versandort, versandland, versendet aus, expédié de, expédié depuis, pays d'expédition, lieu d'expédition, enviado desde, se envía desde, país de envío, spedito da, paese di spedizione, luogo di spedizione, wysyłka z, wysyłane z, kraj wysyłki, отправка из, отправляется из, страна отправки, 发货地, 发货国家, posts from, dispatches from, despatched from, lieferung aus, expédition depuis, envío desde, spedizione da, wysyłka skąd"},
	{listing.CountryOfOrigin, "origin, country, made in, country of manufacture, country region of manufacture, manufactured in, place of origin, ursprungsland, herkunft, herkunftsland, herstellungsland, herstellungsland und region, land, pays d'origine, origine, pays de fabrication, pays, país de origen, origen, país de fabricación, país, paese di origine, paese d'origine, origine prodotto, paese di fabbricazione, paese, kraj pochodzenia, pochodzenie, kraj produkcji, kraj, страна происхождения, страна производства, страна изготовления, страна, 原产地, 产地, 原产国, ursprung, hergestellt in, fabriqué en, fabricado en, paese di produzione, prodotto in, wyprodukowano w, страна производитель"},
	{listing.SerialNumber, "serial, serial no, serial nr, serial #, s n, sn, serialnumber, serials, seriennummer, seriennr, serien nr, fabriknummer, numéro de série, n de série, no de série, número de serie, n de serie, nro de serie, numero di serie, matricola, numer seryjny, nr seryjny, numer fabryczny, серийный номер, серийный no, заводской номер, 序列号, 系列号, 出厂编号, unit serial, no série, n di serie"},
	{listing.DateCode, "manufacture date, manufacturing date, production date, date of manufacture, build date, datecode, datumscode, herstellungsdatum, produktionsdatum, fertigungsdatum, date de fabrication, code date, fecha de fabricación, código de fecha, data di produzione, data di fabbricazione, codice data, data produkcji, kod daty, дата производства, дата изготовления, 生产日期, 日期代码"},
	{listing.Warranty, "guarantee, warranty period, warranty terms, garantie, gewährleistung, garantiezeit, durée de garantie, garantía, período de garantía, garanzia, durata garanzia, gwarancja, okres gwarancji, гарантия, срок гарантии, 保修, 质保, 保修期"},
	{listing.Returns, "return policy, returns policy, return, returns accepted, refund policy, rückgabe, rücknahme, rückgaberecht, widerruf, retours, retour, politique de retour, devoluciones, devolución, política de devolución, resi, reso, politica di reso, restituzione, zwroty, zwrot, polityka zwrotów, возврат, условия возврата, 退货, 退货政策, 退换货, return terms, returns terms, retour accepté, retours acceptés, możliwość zwrotu, 退换"},
	{listing.Description, "desc, item description, product description, details, text, body, comments, beschreibung, artikelbeschreibung, produktbeschreibung, angebotstext, description du produit, descriptif, détails, descripción, descripción del producto, detalles, descrizione, descrizione prodotto, dettagli, opis, opis produktu, opis oferty, описание, описание товара, 描述, 商品描述, 详情, 说明, full description, listing text, ad text, long description, body text, full text, langtext, texte, texte de l'annonce, texto, testo, treść ogłoszenia, текст объявления"},
	{listing.PhotoFiles, "photos, photo, photo file, images, image, image files, image file, pictures, picture, picture files, fotos, foto, bilder, bild, bilddateien, bilddatei, photo files, fichiers photo, fichiers image, imágenes, imagen, archivos de fotos, immagini, immagine, file foto, zdjęcia, zdjęcie, pliki zdjęć, фото, фотографии, изображения, файлы фото, 图片, 照片, 图片文件, photos de l'annonce, photo paths, image paths, pics"},
	{listing.PhotoViews, "views, photo tags, image tags, views shown, tags, ansichten, gezeigte ansichten, vues, vues photo, vistas, viste, widoki, виды, ракурсы, 视图, 照片标签"},
	{listing.PlateSerial, "serial on plate, plate serial number, serial plate, seriennummer typenschild, typenschild seriennummer, numéro de série plaque, número de serie placa, numero di serie targhetta, numer seryjny z tabliczki, серийный номер на табличке, 铭牌序列号"},
	{listing.PlatePartNumber, "part number on plate, plate number, plate part no, teilenummer typenschild, typenschild teilenummer, référence plaque, número de pieza placa, codice targhetta, numer części z tabliczki, номер детали на табличке, 铭牌零件号"},
	{listing.BoxSerial, "serial on box, box serial number, box label serial, seriennummer karton, karton seriennummer, numéro de série boîte, número de serie caja, numero di serie scatola, numer seryjny z pudełka, серийный номер на коробке, 包装序列号"},
	{listing.SKU, "stock keeping unit, seller sku, custom label, article number, stock number, stock no, bestellnummer, lagernummer, artikelnummer, artikelnr, artikel nr, référence, référence article, ref, referencia, sku vendedor, riferimento, codice articolo, indeks, symbol, sygnatura, артикул, 货号, 商家编码"},
	{listing.Availability, "stock status, availability status, in stock status, verfügbarkeit, lieferbarkeit, lieferstatus, disponibilité, état du stock, disponibilidad, estado del stock, disponibilità, stato magazzino, dostępność, наличие, доступность, 库存状态, 是否有货"},
	{listing.PriceWas, "old price, was price, was, list price, rrp, msrp, original price, regular price, previous price, alter preis, listenpreis, uvp, vorheriger preis, streichpreis, ancien prix, prix barré, prix conseillé, prix catalogue, precio anterior, pvp, precio original, precio de lista, prezzo precedente, prezzo di listino, prezzo originale, stara cena, cena katalogowa, poprzednia cena, старая цена, цена до скидки, 原价, 划线价, 市场价"},
	{listing.PriceKind, "price type, listing type, sale type, sale format, format, preisart, angebotsart, angebotsformat, verkaufsart, type de prix, type d'annonce, type de vente, tipo de precio, tipo de anuncio, tipo di prezzo, tipo annuncio, rodzaj ceny, typ oferty, тип цены, тип объявления, 价格类型"},
	{listing.PriceTax, "tax, vat, tax basis, price tax, vat status, tax included, steuer, mwst, ust, steuerart, tva, taxes, type de taxe, iva, impuestos, tasse, imposta, podatek, rodzaj ceny vat, ндс, налог, 税, 含税"},
	{listing.MinimumOrder, "minimum order quantity, moq, min order, min order qty, minimum quantity, minimum order qty, mindestbestellmenge, mindestmenge, mindestabnahme, quantité minimale, commande minimum, quantité minimum, pedido mínimo, cantidad mínima, ordine minimo, quantità minima, minimalne zamówienie, minimalna ilość, минимальный заказ, минимальное количество, 起订量, 最小起订量"},
	{listing.Contact, "phone, telephone, email, e mail, mail, contact details, seller contact, phone number, telefon, telefonnummer, kontakt, e mail adresse, téléphone, courriel, teléfono, correo, correo electrónico, contacto, telefono, posta elettronica, contatto, numer telefonu, телефон, почта, контакт, контакты, 电话, 邮箱, 联系方式"},
	{listing.Language, "lang, listing language, page language, sprache, langue, idioma, lingua, język, язык, 语言"},
}

// canonicalNames gives the fields by their canonical names, with or without
// the underscores.
var canonicalNames = sync.OnceValue(func() map[string]listing.Name {
	m := map[string]listing.Name{}
	for _, n := range listing.Names() {
		key := headerKey(n.String())
		m[key] = n
		m[strings.ReplaceAll(key, " ", "")] = n
	}
	return m
})

// synonymFields gives the fields of each synonym.
var synonymFields = sync.OnceValue(func() map[string][]listing.Name {
	m := map[string][]listing.Name{}
	for _, row := range synonyms {
		for _, name := range strings.Split(row.names, ", ") {
			key := headerKey(name)
			if !slices.Contains(m[key], row.field) {
				m[key] = append(m[key], row.field)
			}
		}
	}
	return m
})

// fillers are words of headers that say nothing by themselves.
var fillers = strings.Fields("the of for in de du des d l la le les del della dell dello di do der die das dem da van il al all на по")

// likeWords are words of headers that come in several forms.
var likeWords = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	for word, forms := range map[string]string{
		"no":  "n nr num number numero número numéro núm numer nummer nro номер",
		"ref": "reference référence referencia riferimento refs réf réfs ref",
		"id":  "identifiant identifier identificador",
	} {
		for _, f := range strings.Fields(forms) {
			m[headerKey(f)] = word
		}
	}
	return m
})

// bareKey is a header's key without fillers and with one form for words such as
// 'number', "" when no more than such words are left.
func bareKey(key string) string {
	var words []string
	telling := false
	for _, w := range strings.Fields(key) {
		if slices.Contains(fillers, w) {
			continue
		}
		if like, ok := likeWords()[w]; ok {
			w = like
		}
		telling = telling || w != "no" && w != "ref" && w != "id"
		words = append(words, w)
	}
	if !telling {
		return ""
	}
	return strings.Join(words, " ")
}

// bareFields gives the fields of all known headers by their bare keys.
var bareFields = sync.OnceValue(func() map[string][]listing.Name {
	m := map[string][]listing.Name{}
	for _, key := range knownHeaders() {
		for _, n := range fieldsOf(key) {
			if bare := bareKey(key); bare != "" && !slices.Contains(m[bare], n) {
				m[bare] = append(m[bare], n)
			}
		}
	}
	return m
})

// knownHeaders lists all names in a fixed order.
var knownHeaders = sync.OnceValue(func() []string {
	var all []string
	for key := range canonicalNames() {
		all = append(all, key)
	}
	for key := range synonymFields() {
		all = append(all, key)
	}
	slices.Sort(all)
	return slices.Compact(all)
})
