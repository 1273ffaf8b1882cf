package savedpage

import "counterfoil/parse/listing"

// furtherLabels are labels in further languages: Dutch, Portuguese, Swedish,
// Danish and Norwegian, Finnish, Czech and Slovak, Slovene, Croatian and Serbian,
// Hungarian, Romanian, Bulgarian, Ukrainian, Greek, Turkish, the Baltic
// languages, Hebrew, Arabic, Japanese, Korean, Chinese in traditional letters,
// Vietnamese, Indonesian. Common practice, no source; written from memory.
var furtherLabels = map[listing.Name]string{
	listing.ListingID: `advertentienummer|número do anúncio|id do anúncio|código do anúncio|annonsnummer|annonce-id|annonsenummer|finn-kode|ilmoitusnumero|ilmoituksen numero|
		číslo inzerátu|id inzerátu|id oglasa|šifra oglasa|hirdetéskód|hirdetés azonosító|id anunț|anunț nr|номер на обявата|номер оголошення|id оголошення|
		αριθμός αγγελίας|κωδικός αγγελίας|ilan no|ilan numarası|skelbimo id|kuulutuse number|sludinājuma id|מספר מודעה|رقم الإعلان|商品管理番号|出品id|광고번호`,
	listing.SKU: `artikelcode|productnummer|bestelnummer|referentie|referentienummer|código do artigo|cód do produto|código produto|cód produto|cód ref|
		referência do produto|ref do produto|artikelnr|art nr|varenr|produktnr|produktnummer|vare nr|bestillingsnummer|tuotekoodi|tuotenro|tuote nro|
		číslo produktu|číslo zboží|číslo tovaru|katalogové číslo|kat číslo|obj číslo|kód zboží|objednací kód|kataloški broj|šifra artikla|šifra proizvoda|kod artikla|
		kataloška številka|koda izdelka|termékkód|cikkszám|rendelési kód|cod articol|cod produs|cod intern|код на продукта|код продукт|артикул номер|
		код товару|код продукту|номер товару|κωδικός|κωδικός προϊόντος|κωδ προϊόντος|κωδ|κωδικός είδους|ürün kodu|stok kodu|ürün no|ürün numarası|
		prekės kodas|kodas|tootekood|artikkel|preces kods|kods|artikuls|מק״ט|מק''ט|מקט|מק ט|קוד מוצר|קוד פריט|رمز المنتج|كود المنتج|رقم المنتج|رقم الصنف|
		商品コード|商品番号|品番|注文番号|製品番号|상품번호|상품코드|제품코드|제품번호|商品貨號|貨號|商品代碼|商品號|產品編號|產品代碼|貨品編號|mã sản phẩm|mã hàng|mã sp|kode produk|kode barang`,
	listing.PartNumber: `fabrikantcode|onderdeelnummer|fabrikantnummer|modelnummer|artikelnummer fabrikant|número de peça|número da peça|código do fabricante|referência do fabricante|número do modelo|
		código da peça|tillverkarens artikelnr|artikelnummer tillverkare|reservdelsnummer|modellnummer|producentens varenummer|producentnummer|delenummer|produsentens varenummer|
		valmistajan tuotenumero|valmistajan koodi|varaosanumero|mallinumero|číslo dílu|číslo dielu|číslo výrobce|číslo výrobcu|kód výrobce|kód výrobcu|číslo modelu|
		broj dijela|broj dela|kataloški broj proizvođača|šifra proizvođača|številka dela|koda proizvajalca|gyártói cikkszám|gyártói kód|alkatrészszám|
		cod piesă|cod piesa|număr piesă|cod fabricant|cod producător|part number producător|номер на частта|код на производителя|номер деталі|каталожний номер|код виробника|артикул виробника|
		κωδικός κατασκευαστή|κωδικός ανταλλακτικού|αριθμός εξαρτήματος|parça numarası|parça no|üretici kodu|üretici parça numarası|model numarası|model no|
		gamintojo kodas|detalės numeris|tootja kood|varuosa number|ražotāja kods|detaļas numurs|מספר חלק|מספר יצרן|מק''ט יצרן|מספר דגם|
		رقم القطعة|رقم الموديل|رقم الطراز|رقم جزء الشركة المصنعة|型番|品番(メーカー)|メーカー型番|メーカー品番|部品番号|純正品番|型式|모델번호|품번|부품번호|제조사 품번|型號|料號|零件編號|原廠編號|原廠料號|mã phụ tùng|số bộ phận|nomor part|nomor suku cadang`,
	listing.OENumbers: `oe-nummer(s)|números oe|referências oe|oe-numrot|oe čísla|oe číslo|oe broj|oe brojevi|oe számok|coduri oe|cod oe|oe номера|οε|oe numarası|純正番号|oe 번호`,
	listing.GTIN: `ean-kood|ean-koodi|ean nummer|ean-nr|ean číslo|ean code 13|código de barra|cód barras|cod bare|cod de bare|streckkod|stregkode|strekkode|viivakoodi|čárový kód|čiarový kód|
		črtna koda|barkod|bar kod|vonalkód|баркод|штрих код|κωδικός ean|barkod numarası|brūkšninis kodas|ribakood|svītrkods|ברקוד|الباركود|باركود|رمز شريطي|
		janコード|jan code|バーコード|바코드|條碼|國際條碼|商品條碼|isbn-10|isbn10|mã vạch|kode batang`,
	listing.Brand: `merk/fabrikant|fabrikant|fabricante|varumärke|tillverkare|mærke|varemerke|produsent|producent/mærke|fabrikat|tuotemerkki|valmistaja|výrobce/značka|značka/výrobce|proizvođač|robna marka|blagovna znamka|
		márka|gyártó|brand producător|marcă|марка/производител|производител|виробник|торгова марка|μάρκα|κατασκευαστής|üretici|marka/üretici|gamintojas|prekės ženklas|tootja|kaubamärk|bränd|
		מותג|יצרן|العلامة التجارية|الماركة|ماركة|الشركة المصنعة|المصنع|ブランド|ブランド名|メーカー|メーカー名|製造元|브랜드|제조사|브랜드명|廠牌|製造商|品牌名稱|thương hiệu|nhà sản xuất|hãng sản xuất|merek|merk produk`,
	listing.Model:     `modelo/versão|modelnaam|malli|modelis|mudel|típus|modell/típus|model/tip|модел|μοντέλο|דגם|الموديل|موديل|モデル|機種|모델|모델명|型號名稱|機型|kiểu máy|tipe`,
	listing.Condition: `staat|conditie|estado do produto|condição|skick|tilstand|kunto|stav|stav zboží|stav tovaru|stanje|állapot|stare|състояние|стан|стан товару|κατάσταση|durumu|durum|būklė|seisukord|stāvoklis|מצב|حالة|الحالة|حالة المنتج|状態|商品の状態|상품상태|상태|商品狀態|新舊程度|物品狀態|tình trạng|kondisi`,
	listing.Shipping: `verzending|verzendkosten|bezorgkosten|frete|envio|custo de envio|portes de envio|portes|frakt|fraktkostnad|fragt|levering|leveringsomkostninger|toimitus|toimituskulut|doprava|poštovné|cena dopravy|
		dostava|poštarina|strošek dostave|szállítás|szállítási költség|transport|cost transport|livrare|доставка цена|αποστολή|μεταφορικά|kargo|kargo ücreti|pristatymas|tarne|piegāde|משלוח|דמי משלוח|الشحن|رسوم الشحن|送料|配送料|배송비|배송|運費|phí vận chuyển|ongkos kirim`,
	listing.QuantityAvailable: `op voorraad|aantal|voorraad|quantidade|quantidade disponível|antal|lagersaldo|lagerstatus antal|määrä|varastossa|počet kusů|množství|množstvo|skladem|počet kusov|količina|na zalogi|mennyiség|készlet|
		cantitate|stoc|количество|кількість|ποσότητα|adet|stok|stok adedi|kiekis|kogus|daudzums|כמות|מלאי|الكمية|الكمية المتوفرة|数量|在庫数|수량|재고|數量|庫存|庫存數量|số lượng|jumlah|stok tersedia`,
	listing.Seller: `verkoper|verkocht door|vendido e entregue por|loja|säljare|såld av|sælger|sælges af|selger|solgt av|myyjä|prodejce|prodává|predajca|predáva|prodajalec|prodavač|trgovina|eladó|forgalmazza|vânzător|vândut de|продавач|
		продавець|πωλητής|πωλείται από|satıcı|mağaza|pardavėjas|müüja|pārdevējs|מוכר|البائع|يباع بواسطة|出品者|販売元|販売者|ショップ|판매자|판매처|賣家|賣場|供應商|người bán|penjual`,
	listing.CountryOfOrigin: `land van herkomst|herkomst|país de fabrico|país de fabricação|origem|ursprungsland|tillverkningsland|oprindelsesland|opprinnelsesland|produktionsland|alkuperämaa|valmistusmaa|země původu|krajina pôvodu|země výroby|
		država porekla|zemlja podrijetla|država izvora|származási hely|származási ország|țara de origine|țară de origine|страна на произход|країна виробник|країна виробництва|країна походження|χώρα προέλευσης|χώρα κατασκευής|
		menşei|üretim yeri|kilmės šalis|päritoluriik|izcelsmes valsts|ארץ ייצור|ארץ יצור|ארץ מקור|بلد المنشأ|بلد الصنع|原産国|生産国|製造国|원산지|제조국|產地|原產地|製造地|xuất xứ|negara asal`,
	listing.SerialNumber: `serienummer|número de serie|sarjanumero|výrobní číslo|sériové číslo|výrobné číslo|serijska številka|serijski broj|sorozatszám|gyártási szám|număr de serie|сериен номер|серійний номер|σειριακός αριθμός|seri numarası|seri no|
		serijos numeris|seerianumber|sērijas numurs|מספר סידורי|الرقم التسلسلي|製造番号|シリアル番号|シリアルナンバー|제조번호|시리얼 번호|일련번호|序號|số sê-ri|số serial|nomor seri`,
	listing.Warranty: `garantia|garantie fabrikant|garanti|garantitid|takuu|takuuaika|záruka|záruční doba|záručná doba|garancija|jamstvo|garanciaidő|garancia|jótállás|garanție|гаранция|гарантія|εγγύηση|garanti süresi|garantija|garantii|אחריות|الضمان|ضمان|保証|保証期間|보증기간|보증|保固|保固期|保固期限|bảo hành|garansi`,
	listing.Returns:  `retourneren|devolução|devoluções|política de devolução|retur|returrätt|palautus|vrácení zboží|vrátenie tovaru|vračilo|povrat|visszaküldés|retur produs|връщане|повернення|επιστροφές|iade|iade koşulları|grąžinimas|tagastamine|atgriešana|החזרות|الإرجاع|返品|返品条件|반품|退貨|đổi trả|pengembalian`,
	listing.Price: `prijs|onze prijs|nu|preço|nosso preço|preço atual|por|pris|vårt pris|nu pris|hinta|nyt|naše cena|cena s dph|cena vč dph|akční cena|cijena|cijena s pdv|ár|bruttó ár|akciós ár|preț|preț curent|pret|цена с ддс|ціна|τιμή|fiyat|satış fiyatı|
		kaina|hind|מחיר|מחיר לצרכן|السعر|販売価格|価格|税込価格|現在価格|即決価格|판매가|가격|할인가|售價|特價|優惠價|網路價|現在價格|直購價|giá|giá bán|harga`,
	listing.PriceWas: `adviesprijs|normale prijs|preço antigo|preço original|tidigare pris|ord pris|ordinarie pris|rek pris|rekommenderat pris|før|førpris|vejl pris|veil pris|normaalihinta|ovh|suositushinta|běžná cena|bežná cena|původní cena|pôvodná cena|doporučená cena|dmoc|odporúčaná cena|
		redna cena|stara cijena|redovna cijena|mpc|eredeti ár|régi ár|preț vechi|prp|preț recomandat|стара цена|стара ціна|αρχική τιμή|λιανική τιμή|πλτ|liste fiyatı|eski fiyat|piyasa fiyatı|sena kaina|sena cena|vana hind|tavahind|מחיר קודם|מחיר מחירון|السعر السابق|定価|希望小売価格|メーカー希望小売価格|参考価格|通常価格|정가|소비자가|原價|定價|市價|建議售價|giá gốc|giá cũ|harga normal`,
	listing.Availability: `beschikbaarheid|voorraadstatus|disponibilidade|tillgänglighet|lagerstatus|tilgængelighed|tilgjengelighet|saatavuus|varastotilanne|dostupnost zboží|sklad|skladovost|raspoloživost|elérhetőség|raktárkészlet|disponibilitate|stoc produs|наличност|
		наявність|διαθεσιμότητα|stok durumu|prieinamumas|saadavus|laoseis|pieejamība|זמינות|التوفر|حالة التوفر|在庫|在庫状況|재고상태|庫存狀態|庫存狀況|供貨狀況|tình trạng kho|ketersediaan`,
	listing.Description: `productbeschrijving|omschrijving|beschrijving|descrição do produto|descrição do anúncio|produktbeskrivning|beskrivning|beskrivelse|produktbeskrivelse|kuvaus|tuotekuvaus|popis produktu|popis zboží|popis tovaru|opis izdelka|opis proizvoda|leírás|termékleírás|
		descrierea produsului|descriere produs|описание на продукта|опис|опис товару|περιγραφή|περιγραφή προϊόντος|açıklama|ürün açıklaması|aprašymas|kirjeldus|apraksts|תיאור|תיאור מוצר|תיאור המוצר|الوصف|وصف المنتج|商品説明|商品の説明|상품설명|상품 설명|제품설명|商品說明|商品資訊|商品介紹|商品特色|mô tả|mô tả sản phẩm|deskripsi|deskripsi produk`,
}
