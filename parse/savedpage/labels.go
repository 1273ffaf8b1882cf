package savedpage

import (
	"strings"
	"sync"
	"unicode"

	"counterfoil/parse/listing"
)

// labelWords are the words that stand before a value on a page, in English,
// German, French, Spanish, Italian, Polish, Russian and Chinese. Common
// practice of the trade, no source.
var labelWords = map[listing.Name]string{
	listing.ListingID: `item number|listing id|ad id|ad number|auction number|offer number|artikelnummer der anzeige|
		anzeigen-id|anzeigennummer|anzeigen-nr|angebotsnummer|référence de l'annonce|numéro d'annonce|numéro de l'annonce|
		número de anuncio|referencia del anuncio|id del anuncio|numero annuncio|codice annuncio|numer oferty|numer ogłoszenia|id ogłoszenia|
		номер объявления|номер лота|商品编号|商品id|post id|lot number|lot id|listing number`,
	listing.SKU: `sku|item code|item no|item #|item id|item sku|article|article number|article no|article code|art no|art|product code|web code|web id|web code|web id|product number|
		product id|product no|product sku|style number|style no|style code|store sku|stock code|stock number|stock no|catalogue number|catalog number|cat no|order number|order code|reference|ref|
		artikelnummer|artikel-nr|artikelnr|art-nr|artnr|bestellnummer|bestell-nr|best-nr|produktnummer|produkt-nr|produktcode|warennummer|
		référence|réf|référence produit|code article|code produit|numéro d'article|n° d'article|
		referencia|número de artículo|código|código de artículo|código de producto|cód|sku número|artículo|
		codice|codice articolo|codice prodotto|cod|cod articolo|cod prodotto|sku prodotto|riferimento|
		indeks|kod produktu|numer katalogowy|numer artykułu|kod towaru|symbol|nr katalogowy|nr artykułu|nr ref|ref nr|
		артикул|код товара|код|код продукта|номер артикула|арт|货号|商品货号|商品編號|商品编码|款号|
		código do produto|id produto|id do produto|referência|ref produto|kód produktu|kód|kód tovaru|objednávací kód|šifra|šifra izdelka|cod produs|
		tuotenumero|varenummer|artikelnummer|cikkszám|preces kods|prekės kodas|ürün kodu`,
	listing.PartNumber: `mpn|part number|part no|part #|manufacturer part number|manufacturer part no|manufacturer number|manufacturer reference|
		mfr part number|mfg part number|maker number|maker part number|model number|model no|model #|item model number|part number(s)|turbo number|turbo part number|manufacturer code|
		herstellernummer|hersteller-nr|herstellerartikelnummer|hersteller-artikelnummer|hersteller-teilenummer|teilenummer|teile-nr|modellnummer|modell-nr|turbonummer|
		turbolader-nr|référence fabricant|référence constructeur|numéro de pièce|numéro de pièce fabricant|référence de la pièce|numéro de modèle|
		número de pieza|número de parte|número de pieza del fabricante|referencia del fabricante|número de modelo|número de referencia|
		codice produttore|numero parte|numero di parte|codice ricambio|numero modello|codice costruttore|
		numer części|numer producenta|numer katalogowy części|numer katalogowy producenta|kod producenta|nr części|numer modelu|
		номер детали|номер запчасти|каталожный номер|номер производителя|номер турбины|артикул производителя|код производителя|партномер|
		零件号|零件编号|配件号|厂家编号|制造商零件编号|型号编号|part-number|oznaka proizvajalca|ražotāja kods|kód výrobcu|produktové číslo|produktové číslo výrobce|kód výrobce|part number výrobce|código do fabricante|cod producător|tillverkarens artikelnummer|číslo dílu|número de peça`,
	listing.OENumbers: `oe number|oe numbers|oem number|oem numbers|oe no|oe nr|oem no|oem part number|oe part number|reference oe/oem number|
		reference oe number|cross reference|cross references|cross-reference numbers|comparison number|interchange part number|oe-nummer|oe-nummern|oem-nummer|oem-nummern|oe-nr|
		originalnummer|original-ersatzteilnummer|vergleichsnummer|vergleichsnummern|référence oe|références oe|référence oem|référence d'origine|
		références d'origine|numéro oe|número oe|número oem|referencia oem|referencia original|referencias oe|codice oe|codice oem|numero oe|codici oe|
		numer oe|numery oe|numer oem|numer oryginału|numery oryginalne|numery zamienników|номер oe|oem номер|номера oe|оригинальный номер|
		оригинальные номера|кросс-номера|原厂编号|oe号|oem号|原厂号|参考oe号`,
	listing.GTIN: `gtin|ean|upc|isbn|ean code|ean-code|ean13|isbn-13|isbn13|gtin/ean|ean/upc|ean/gtin|barcode|bar code|gtin-13|ean-nummer|strichcode|code-barres|code ean|
		código ean|código de barras|codice ean|codice a barre|kod ean|kod kreskowy|штрихкод|штрих-код|条形码|条码|ean kód|ean koda|ean kods`,
	listing.Brand: `brand|make|brand name|manufacturer|maker|make/manufacturer|marke|hersteller|markenname|fabrikat|marque|fabricant|nom de marque|marca|fabricante|
		produttore|casa produttrice|marka|producent|бренд|марка|производитель|торговая марка|品牌|牌子|制造商|厂家|značka|výrobca|výrobce|znamka|proizvajalec|zīmols|
		ražotājs|merk|märke|merkki|brand/manufacturer|manufacturer/brand|producător|fabricante/marca`,
	listing.Model:     `model|model name|model name/number|frame|turbo model|turbo type|modell|typ|turbotyp|baureihe|modèle|type|modelo|modello|tipo|модель|тип|型号|产品型号`,
	listing.Condition: `condition|item condition|state|zustand|artikelzustand|état|estado|condizione|condizioni|stan|состояние|成色|新旧程度|品相|物品状况|condición|kondition`,
	listing.UnitType:  `unit type|part type|scope of delivery|product type|produktart|teileart|type de pièce|tipo de pieza|tipo di ricambio|rodzaj części|тип детали|类别`,
	listing.Shipping: `shipping|postage|delivery|shipping cost|shipping costs|shipping price|postage and packaging|delivery cost|freight|versand|versandkosten|
		lieferkosten|livraison|frais de port|frais de livraison|envío|gastos de envío|coste de envío|spedizione|costo di spedizione|spese di spedizione|
		dostawa|koszt dostawy|wysyłka|koszt wysyłki|доставка|стоимость доставки|运费|快递费|邮费`,
	listing.CoreDeposit: `core charge|core deposit|core|deposit|surcharge|old unit deposit|pfand|altteilpfand|altteilpfandwert|kaution|consigne|caution|
		casco|depósito|fianza|depósito del casco|cauzione|deposito|reso carcassa|kaucja|zwrotna kaucja|depozyt|залог|залоговая стоимость|залог за старую деталь|旧件押金|押金`,
	listing.QuantityAvailable: `quantity|quantity available|available quantity|in stock|stock|units available|qty|menge|verfügbare menge|stückzahl|lagerbestand|bestand|
		quantité|quantité disponible|cantidad|cantidad disponible|unidades disponibles|quantità|quantità disponibile|disponibili|ilość|liczba sztuk|dostępna ilość|
		количество|в наличии|остаток|数量|库存`,
	listing.LotQuantity: `lot size|pieces per lot|pack quantity|units per pack|pack size|packungseinheit|verpackungseinheit|stück pro packung|unités par lot|
		unidades por lote|pezzi per confezione|sztuk w zestawie|штук в упаковке|每包数量`,
	listing.MinimumOrder: `minimum order|min order|moq|minimum order quantity|mindestbestellmenge|mindestabnahme|commande minimum|pedido mínimo|ordine minimo|
		minimalne zamówienie|минимальный заказ|起订量|最小起订量`,
	listing.Seller: `seller|sold by|vendor|merchant|shop|store|sold and shipped by|dispatched and sold by|ships from and sold by|verkäufer|verkauft von|verkauf durch|verkauf und versand durch|
		händler|anbieter|vendeur|vendu par|vendu et expédié par|boutique|vendedor|vendido por|tienda|venditore|venduto da|venduto e spedito da|sprzedawca|sprzedaje|
		sprzedawane przez|sklep|продавец|продаёт|продавец товара|магазин|卖家|店铺|掌柜|商家|供应商`,
	listing.SellerLocation: `seller location|item location|location|located in|standort|artikelstandort|ort|lieu|localisation|lieu où se trouve l'objet|localisation de l'objet|
		ubicación|ubicación del artículo|ubicación del vendedor|luogo|luogo in cui si trova l'oggetto|località|lokalizacja|miejscowość|местонахождение|город|местоположение товара|所在地|商品所在地`,
	listing.ShipsFrom: `ships from|shipped from|dispatched from|ship from|versand aus|versand von|lieferung aus|versandort|expédié depuis|expédié de|enviado desde|se envía desde|
		spedito da|spedizione da|wysyłka z|wysyłane z|отправка из|откуда|发货地|发货地址`,
	listing.SellerFeedback: `feedback|positive feedback|seller rating|seller feedback|positive bewertungen|bewertung|bewertungen|évaluations positives|évaluation|
		votos positivos|valoraciones|valoración|feedback positivi|pozytywne opinie|ocena sprzedawcy|положительные отзывы|рейтинг продавца|好评率`,
	listing.SellerFeedbackCount: `feedback score|number of ratings|ratings|anzahl bewertungen|nombre d'évaluations|número de votos|numero di feedback|liczba ocen|
		количество отзывов|评价数`,
	listing.SellerSince: `member since|seller since|registered since|joined|mitglied seit|aktiv seit|membre depuis|inscrit depuis|miembro desde|iscritto dal|
		membro dal|na platformie od|konto od|использует сайт с|зарегистрирован|на сайте с|注册时间|开店时间`,
	listing.CountryOfOrigin: `country of origin|origin|country of manufacture|country/region of manufacture|country/region of origin|made in|country of production|place of origin|
		herkunftsland|ursprungsland|herstellungsland|herstellungsland und -region|produktionsland|pays d'origine|pays de fabrication|origine|
		país de origen|país de fabricación|origen|país/región de fabricación|paese di origine|paese di fabbricazione|origine prodotto|kraj pochodzenia|kraj produkcji|страна производства|
		страна происхождения|страна-производитель|страна изготовитель|страна|产地|原产地|原产国|制造国`,
	listing.SerialNumber: `serial number|serial no|serial|s/n|sn|seriennummer|serien-nr|numéro de série|n° de série|número de serie|nº de serie|
		numero di serie|numero seriale|matricola|numer seryjny|nr seryjny|серийный номер|заводской номер|序列号|出厂编号`,
	listing.DateCode: `date code|production date|manufacturing date|date of manufacture|year of manufacture|herstellungsdatum|produktionsdatum|baujahr|date de fabrication|
		fecha de fabricación|data di produzione|data produkcji|дата производства|дата выпуска|生产日期|出厂日期`,
	listing.Warranty: `warranty|guarantee|manufacturer warranty|warranty period|garantie|gewährleistung|herstellergarantie|garantie constructeur|durée de garantie|
		garantía|garantía del fabricante|garanzia|garanzia produttore|gwarancja|okres gwarancji|гарантия|гарантийный срок|保修|质保|保修期|质保期`,
	listing.Returns: `returns|return policy|returns policy|returns accepted|rücknahme|rückgabe|rücknahmen|rückgabebedingungen|widerruf|retours|retour|politique de retour|
		devoluciones|política de devoluciones|restituzione|resi|politica di reso|zwroty|zwrot|polityka zwrotów|возврат|условия возврата|退货|退换货|退货政策`,
	listing.Price: `price|our price|your price|buy it now|buy now price|price now|sale price|now|current price|preis|unser preis|sofort-kaufen|aktueller preis|
		kaufpreis|prix|notre prix|prix actuel|achat immédiat|precio|precio actual|nuestro precio|cómpralo ya|prezzo|prezzo attuale|compralo subito|
		cena|aktualna cena|kup teraz|cena brutto|цена|текущая цена|купить сейчас|价格|现价|售价|单价|一口价`,
	listing.PriceWas: `was|was price|old price|list price|rrp|msrp|regular price|original price|retail price|uvp|statt|alter preis|listenpreis|früher|
		ancien prix|prix conseillé|prix de vente conseillé|avant|precio anterior|antes|pvp recomendado|prezzo precedente|prezzo di listino|
		prezzo consigliato|stara cena|cena katalogowa|poprzednia cena|старая цена|原价|市场价|吊牌价`,
	listing.Availability: `availability|stock status|verfügbarkeit|lieferstatus|lieferbarkeit|disponibilité|disponibilidad|disponibilità|dostępność|наличие|доступность|库存状态|dostupnosť|dostupnost|razpoložljivost`,
	listing.Contact:      `phone|telephone|contact|telefon|kontakt|téléphone|teléfono|contacto|telefono|contatto|numer telefonu|телефон|контакты|电话|联系电话|联系方式`,
	listing.Description: `description|item description|product description|full description|seller's description|description from the seller|
		beschreibung|artikelbeschreibung|produktbeschreibung|produkt beschreibung|anzeigentext|beschreibung des verkäufers|
		description de l'article|description du produit|description de l'annonce|description du vendeur|descriptif|
		descripción|descripción del producto|descripción del artículo|descripción del vendedor|
		descrizione|descrizione del prodotto|descrizione prodotto|descrizione dell'oggetto|descrizione articolo|descrizione del venditore|
		opis|opis produktu|opis przedmiotu|opis oferty|opis towaru|описание|описание товара|описание продавца|описание продукта|
		商品描述|商品详情|商品介绍|产品描述|产品详情|宝贝描述|宝贝详情|卖家描述|popis|descrição|descriere`,
}

var labels = sync.OnceValue(func() *labelSet { return labelTable(labelWords, furtherLabels) })

// labelSet are labels, folded.
type labelSet struct {
	fields  map[string]listing.Name
	lengths [256]uint64 // see lengths
}

// labelTable puts several tables into one. A word of two fields belongs to the
// first, a word of two tables to the earlier one.
func labelTable(tables ...map[listing.Name]string) *labelSet {
	t := map[string]listing.Name{}
	for _, m := range tables {
		for _, n := range listing.Names() {
			for _, w := range strings.Split(m[n], "|") {
				if w = foldLabel(w); w != "" {
					if _, taken := t[w]; !taken {
						t[w] = n
					}
				}
			}
		}
	}
	return &labelSet{t, lengths(t)}
}

// maxLabel is the length in bytes above which a text is no label.
const maxLabel = 60

// labelField finds the field a label names.
func labelField(s string) (listing.Name, bool) {
	if len(s) > maxLabel {
		return 0, false
	}
	var buf [maxLabel]byte
	if b, ok := foldASCII(s, buf[:0]); ok {
		if len(b) == 0 || labels().lengths[b[0]]&(1<<len(b)) == 0 {
			return 0, false
		}
		n, ok := labels().fields[string(b)]
		return n, ok
	}
	n, ok := labels().fields[foldLabel(s)]
	return n, ok
}

// foldASCII is foldLabel without an allocation; false when s has other letters.
func foldASCII(s string, b []byte) ([]byte, bool) {
	space := false
	for i := 0; i < len(s); i++ {
		c := s[i]
		switch {
		case c >= 0x80:
			return nil, false
		case 'A' <= c && c <= 'Z':
			c += 'a' - 'A'
		case 'a' <= c && c <= 'z' || '0' <= c && c <= '9' || c == '#' || c == '/' || c == '\'':
		default:
			space = true
			continue
		}
		if space && len(b) > 0 {
			b = append(b, ' ')
		}
		space = false
		b = append(b, c)
	}
	return b, true
}

// foldLabel drops case, marks at the end and the difference between hyphen,
// dot and space: "Artikel-Nr.:" and "artikel nr" are one label.
func foldLabel(s string) string {
	var b strings.Builder
	space := false
	for _, r := range s {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r) || r == '#' || r == '/' || r == '°' || r == '\'':
			if space && b.Len() > 0 {
				b.WriteByte(' ')
			}
			space = false
			b.WriteRune(unicode.ToLower(r))
		case r == '’':
			b.WriteByte('\'')
		default:
			space = true
		}
	}
	return b.String()
}
