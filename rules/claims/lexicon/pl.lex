# Polish. Common practice of the trade, from memory, no source; native review wanted.
# Polish inflects: stems end in a star.
lang pl
bind after first     # "oryginalne zdjęcia turbiny": the noun follows, the first one is the head

[genuine]
[100 %|100 procent|w 100 %|stuprocentow*|fabryczn*] oryginał*
[100 %|w 100 %|fabryczn*] oryginaln*
(oryg|autentyczn*|genuine|original)
oem oryginał*
oryginaln* oem

[genuine genuine scope=unit]
część oryginaln*
(oryginaln*) (część|częśc*|częsc*|produkt*|podzespół|podzespoł*|turbo|turbin*|turbosprężark*)
oryginał producenta

[genuine factory-original]
(fabrycznie now*|oryginalnie fabryczn*)
(z|od) (aso|dealera)

[genuine sealed-box]
(fabrycznie|oryginalnie) (zapakowan*|zaplombowan*|zamknięt*)

[compatible aftermarket]
(zamiennik*|zamienn*|aftermarket*|nieoryginaln*|odpowiednik*|after market)
(część|częśc*|turbo|turbin*) zamienn*
nie od producenta
(alternatyw*|alternatywn*)
[innego] (niezależn*) producent*
wymienn* z

[compatible compatible-with]
kompatybiln* [z|ze|do]

[compatible replaces]
(zastępuj*|zastąpi*|zamiast|zastępcz*) [oryginaln*]
w miejsce

[compatible fits]
(do|pasuj*|dla|pod)
(pasuj*|pasown*|nadaj*|odpowiedni*|przeznaczon*|dedykowan*|dopasowan*) [się] (do|dla|w)

[label]
oryginaln* (turbo|turbin*|turbosprężark*) (został*|była|uległ*|był*) (wymienion*|uszkodzon*|awarii)
(numer*|nr|nry|symbol*|kod*|oznaczeni*|ref|referencj*) [części|katalogow*|producent*|części zamienn*] (oryginał*|oryginaln*|oem|oe|producent*|fabryczn*)
(oryginaln*|oem|oe|fabryczn*) (numer*|nr|nry|symbol*|kod*|oznaczeni*)
(oem|oe) :
(odpowiednik*|zamiennik*) (numer*|nr|nry|numerow|o numer*)
numer* (zamiennik*|zamienn*|odpowiednik*)
(kraj|miejsce) pochodzenia
oryginaln* (cen*|kolor*|lakier*|opis*|stan*|ogłoszeni*)
(pasując*|kompatybiln*) (pojazd*|model*|silnik*|aut*)
(uwaga|uważaj*|ostrożnie|strzeż się|unikaj*|wystrzegaj*) [na|się|z] [tani*|chiński*] (podróbk*|podróbek|kopi*|replik*|zamiennik*|podrób*)
kopi* (faktur*|dowod*|dokument*|rachunk*|certyfikat*|paragon*)
(kserokopi*|fotokopi*)
nie tylko
(taniej|lepsz*|gorsz*|tańsz*) (niż|od) [nowy|nowego] (oryginał*|zamiennik*|oryginaln*)
(zamiast|w przeciwieństwie do) (oryginał*|zamiennik*|podróbek|kopi*)
części zamienn* (do|dla)

[hedge oem]
(oem|oes|oe)

[hedge oem-quality]
(jakość|jakości|jakością|standard*|specyfikacj*|poziom*|norm*|parametr*|klas*) [części|o|zgodn* z|jak] (oryginał*|oryginaln*|oem|oe|pierwszego montażu|pierwszy montaż|fabryczn*|producent*|oes)
(oem|oe) (jakość|jakości|standard|quality)
(pierwszy montaż|pierwszego montażu|na pierwszy montaż|pierwszego wyposażenia)
zgodn* z* (specyfikacj*|norm*|wymaga*) [oem|oryginał*|producent*]

[hedge like-original]
(jak|niczym|prawie jak|tak jak) (oryginał*|oryginaln*|fabryczn*|oem|w oryginale)
(identyczn*|równ*|zbliżon*|porównywaln*|podobn*|zgodn*|taki sam) (z|do|jak|ze|co) (oryginał*|oryginaln*|oem)
(nie ustępuj*|dorównuj*|odpowiada*) (oryginał*|oryginaln*)

[hedge top-quality]
(najwyższ*|wysok*|doskonał*|świetn*|top|premium) (jakość|jakości|jakością)
jakość premium

[copy replica]
(podróbk*|podróbek|podróba|podróby|podróbę|podrobion*|kopia|kopie|kopię|kopii|kopią|replika|repliki|replikę|imitacj*|klon|falsyfikat*|fałszyw*|chińczyk|chiński klon|podrobk*)
(chińsk*) (kopia|podróbk*|podróba|replika|turbo|turbin*|klon)

[copy grade]
(kopia|replika) 1 : 1
(aaa)

[condition new]
(nowy|nowa|nowe|nowej|nowego|nowych|nieużywan*|niemontowan*|fabrycznie nowe)

[condition new-old-stock]
(leżak magazynowy|leżak|stary zapas|z zapasów magazynowych|nos|zalegając* w magazynie|leżaki)

[condition remanufactured]
(remanufactur*|regeneracja fabryczna|fabrycznie regenerowan*|reman)

[condition rebuilt]
(regenerowan*|zregenerowan*|po regeneracji|regeneracj*|odbudowan*|odnowion*|po remoncie|remontowan*|wyremontowan*|naprawion*|naprawian*|po naprawie)

[condition exchange]
(wymian*|na wymianę|w rozliczeniu|za zwrotem star*|wymienn*)

[condition core-charge]
(kaucj*|zwrot starej|depozyt*|zwrotn*)

[condition core]
(stara część|stare turbo|rdzeń zwrotny|star* turbin*|star* turbosprężark*)

[condition used]
(używan*|uzywan*|z demontażu|demontaż|wymontowan*|z rozbiórki|z anglika|z auta|rozbitk*|szrot*|powypadkow*|z drugiej ręki)

[condition parts-only]
na części
(uszkodzon*|niesprawn*|do naprawy|do regeneracji|zepsut*|do remontu|zatart*)

[condition bench-tested]
(wyważon*|wyważan*|sprawdzon* na stole|testowan* na stole|testowan* na maszyn*|skalibrowan*)

[condition tested]
(sprawdzon*|testowan*|przetestowan*)

[condition cleaned]
(wyczyszczon*|piaskowan*|szkiełkowan*|polerowan*|malowan*|czyszczon*|wypiaskowan*)

[no-returns no-returns]
(bez|brak|nie przyjmuj*|nie przyjmujemy|nie uznaj*|nie ma|zero) [możliwości|żadnych] (zwrot*|zwrotów|reklamacj*|wymian*)
(nie podlega*|wyklucza*) (zwrot*|reklamacj*|wymian*)

[no-returns as-is]
(stan|sprzedaj*|sprzedawan*) (jak na zdjęci*|w stanie jak|jak widać|taki jak na|tak jak jest|jak jest)
(w stanie takim jak|widziały gały)

[no-returns no-warranty]
(bez|brak|nie daj*|nie udziela*) [żadnej] (gwarancj*|rękojm*)

[off-platform contact]
(proszę|prosze|najpierw|przed zakupem) [o] (dzwonić|kontakt|telefon|pisać|zadzwonić|napisać|kontakt telefoniczny|dzwon*)
(kontakt|pisz|pisać|dzwoń|napisz) [do mnie|tylko] (przez|na|telefoniczn*|przed|pod) [whatsapp*|telegram*|telefon*|zakupem|messenger*|numer*]
(whatsapp|telegram) [:|pod|numer]

[off-platform payment]
(tylko|wyłącznie|jedynie) [za] (przelew*|gotówk*|blik*|przedpłat*|krypto*|z góry|przelewem)
(płatność|płatne|wpłata|zapłata) (tylko|wyłącznie|poza) [przelew*|gotówk*|blik*|platform*|portal*|serwis*]

[off-platform cheaper-direct]
(taniej|rabat|lepsza cena|upust) (poza|bezpośrednio|przez telefon|telefonicznie|na priv|bez pośrednik*)

[branding neutral-box]
(opakowani*|pudełk*|karton*|pudł*) (zastępcz*|neutraln*|biał*|bez nadruk*|bez marki|bez logo|szar*|uniwersaln*)
(zastępcz*|neutraln*|biał*|szar*) (opakowani*|pudełk*|karton*|pudł*)

[branding no-logo]
(bez|brak) (logo|logotyp*|znaku|znaków|marki|tabliczk*|oznacz*|oznakowa*)

[branding custom]
(tabliczk*|logo|naklejk*|opakowani*|pudełk*|grawer*) [znamionow*] (na zamówienie|na życzenie|do wyboru|osobno|możliw*|dorabia*|indywidualn*|dowoln*|oddzielnie)
(dorabia*|wykonuj*|wykonanie|dorobi*|własne|własnym|własnego|twoje|twoim) (tabliczk*|tabliczek|logo|naklej*|opakowa*)

[vague-origin imported]
(importowan*|z importu|sprowadzan*|importu)

[vague-origin technology]
(niemieck*|japońsk*|europejsk*|amerykańsk*|włosk*) (technologi*|technik*|jakość|jakości|myśl techniczna|inżynieri*)
technologi* (niemieck*|japońsk*|z niemiec|z japonii|europejsk*)

[domestic-made]
(wyprodukowan*|zrobion*|produkowan*|made|wykonan*) (w|we|in) (polsce|niemczech|włoszech|ue|usa|japonii|germany|europie|francji|unii)
(produkcj*|wyrób|produkt) (polsk*|niemieck*|krajow*|włosk*|europejsk*|japońsk*)
(polsk*|niemieck*|krajow*|europejsk*) (produkcj*|wyrób|produkt)

[surplus surplus]
(nadwyżk*|nadwyżek|nadprodukcj*)

[surplus same-factory]
[z|w|ta] (tej samej|ta sama|tego samego|tych samych|ten sam) (fabryk*|lini*|linii produkcyjnej|zakład*|producent*|taśmy)

[logo-removed]
(logo|logotyp*|nazw*|znak*|tabliczk*|oznaczeni*|marka) [został*|jest|firmow*|towarow*|marki] (usunięt*|zeszlifowan*|zatart*|zamazan*|starte|zdjęt*|zaklejon*|zamalowan*|wyszlifowan*|spiłowan*|sfrezowan*)
(usunięt*|zeszlifowan*|spiłowan*|sfrezowan*|zaklejon*) (logo|znak*|nazw*|tabliczk*|logotyp*|oznacz*)

[authorised-dealer]
(autoryzowan*|oficjaln*|certyfikowan*|wyłączn*) (dealer*|dystrybutor*|sprzedawc*|przedstawiciel*|serwis*|partner*|punkt*|importer*)

[reference-only]
(tylko|jedynie|wyłącznie) [użyt*|podan*] (w celach|w celu|do celów) (informacyjn*|porównawcz*|identyfikacyjn*|identyfikacji|informacji|referencyjn*|porównania)
(tylko|jedynie|wyłącznie) (informacyjnie|poglądowo|dla porównania|do identyfikacji|jako odniesienie)
(podan*|użyt*|użyto|podano|służą) (w celach|w celu|do celów) (informacyjn*|porównawcz*|identyfikacyjn*|identyfikacji|informacji|referencyjn*|porównania)
(nie jesteśmy|brak) (powiąza*|związani|powiązani) [z]

[upgrade billet]
(koło kute|kut* wirnik|billet|frezowan* wirnik|frezowan* koło|kute koło)

[upgrade upgraded]
(wzmocnion*|wzmacnian*|powiększon*|ulepszon*|hybryd*|zmodyfikowan*|podrasowan*)

[gift]
(gratis*|za darmo|prezent*|w prezencie) [zestaw*|komplet*] [uszczel*|narzędzi*|olej*|montażow*]
(zestaw*|komplet*|uszczelk*|uszczelki|olej) [uszczelek|montażow*|narzędzi*] (gratis*|za darmo|w prezencie|w gratisie)

[noun unit]
(turbo|turbosprężark*|turbosprezark*|turbin*|turbospręzark*|sprężark*|turbodoładowa*)
(rdzeń|rdzen*|chra|wkład*|środek turbin*|środek turbo|kartridż*)
(część|części|częśc*|częsci|produkt*|towar*|przedmiot*|podzespół|podzespoł*|podzespoły|egzemplarz*)

[noun kit]
(zestaw*|komplet*|uszczelk*|uszczelek|zestaw* uszczelek|zestaw* naprawcz*|zestaw* montażow*|komplet* uszczelek|śrub*|szpilk*)

[noun component]
(gruszk*|siłownik*|sterownik*|geometri*|wirnik*|wałek|wałk*|łożysk*|obudow*|muszl*|przewód|przewod*|czujnik*|elektrozawór|kolektor*|zawór|zawor*|sztang*|element*|komponent*|tabliczk*|lakier*|opask*)

[noun core]
(star* turbo|star* części|star* turbin*|star* część|star* turbosprężark*)

[noun photo]
(zdjęci*|zdjeci*|zdjęć|fotk*|foto|fotografi*|obraz*)

[noun packaging]
(opakowani*|opakowań|pudełk*|pudeł*|karton*|pudł*|etykiet*)

[noun paper]
(faktur*|instrukcj*|certyfikat*|dokument*|gwarancj*|paragon*|rachunk*|kart* gwarancyjn*|protokół|protokoł*)

[noun vehicle]
(silnik*|aut|auto|auta|samochod*|samochód|pojazd*|przebieg*|kilometr*|stan|skrzyni*)

[not]
(nie|bez|brak|żaden|żadn*|ani|nigdy)

[with]
(z|ze|wraz|plus|na|użyciem|oraz|zawiera*|przy użyciu)

[words]
(i|w|o|do|od|to|jest|są|się|a|po|za|dla|lub|ale|tylko|że|bardzo|oraz|jak|na|ten|ta|te|tego|nie|bez|czy|przed|moje|mam|sprzedaję|sprzedam|now*|stan|dobry|komplet*|wszystk*|przez|przy)

[unbranded]
(bez marki|brak marki|nie dotyczy|brak|inna|inna marka|bezmarkow*|no name|nieznan*|inny producent|nieokreślon*)
