# German. Common practice of the trade, from memory, no source; native review wanted.
lang de
bind after last      # "originaler Dichtungssatz"; compounds are listed as they are written

[genuine]
[100 %|100 prozent|absolut|garantiert] (original|originaler|originale|originales|originalen|originalem|originals|orig)
(echter|echte|echtes|echten|echt|authentisch*)
kein (nachbau|fake|plagiat|imitat)

[genuine genuine scope=unit]
original (teil|teile|ersatzteil|ersatzteile|neuteil|produkt|artikel|ware)
originalteil*
originalersatzteil*
originalneuteil*
originalprodukt*
originalware
originalartikel*
originalturbo*
originallader*
originalabgasturbo*
originalrumpfgruppe*
(neuteil|neu) original
herstellerteil*
(oe|oem) originalteil*

[genuine factory-original]
(werksneu*|fabrikneu*|werksoriginal|ab werk)
(vom|direkt vom) (hersteller|originalhersteller)

[genuine sealed-box]
(originalverschweisst*|originalversiegelt*|werksversiegelt*|originalverpackt*)
(original|werkseitig) (versiegelt|verschweisst|verpackt)

[genuine packaging scope=packaging]
(ovp|originalverpackung*|originalkarton*|originalschachtel|originalbox|originalkiste)
original (verpackung|karton|verpackungen|box)

[genuine photo scope=photo]
(originalfoto*|originalbild*|originalaufnahme*)

[genuine vehicle scope=vehicle]
(originalmotor*|originallaufleistung|originalzustand|originalfahrzeug*)

[genuine paper scope=paper]
(originalrechnung*|originalkarte|originalanleitung|originalzertifikat*|originalbeleg*|originalquittung*)

[genuine kit scope=kit]
(originaldichtung*|originaldichtsatz*|originaldichtungssatz|originalsatz|originalkit)

[genuine core scope=core]
(originalaltteil*|originalkern)

[compatible aftermarket]
(zubehorteil*|zubehoerteil*|aftermarket|after market|nachrustteil*|nachruestteil*|nachfertigung*|fremdfabrikat*|fremdhersteller|alternativteil*|drittanbieter|fremdprodukt*|identteil*|zubehorturbo*|zubehorlader|zubehorware)
[ein|teil|turbo|turbolader|lader] (aus dem|vom) (zubehor|zubehoer|zubehorhandel|zubehorhersteller|freien markt)
(freies|freie) (ersatzteil|ersatzteile)
nicht [ein] (vom|von) [original] (hersteller|originalhersteller|werk)
(baugleich*|gleichwertig*)
(nichtoriginal|nicht originalteil|kein erstausruster)
(zubehor|zubehoer) (turbolader|turbo|lader|rumpfgruppe)
alternative (zu|zum|fur|fuer)
entspricht (der|dem) (teilenummer|nummer)
(kompatibler|kompatibles|kompatiblen) (turbolader|turbo|lader|teil|ersatzteil)

[compatible compatible-with]
(kompatibel|kompatibilitat|kompatibler|kompatible|kompatibles) [mit|zu|fur|fuer]

[compatible replaces]
(ersatz|austausch|ersatzteil|ersatzlader|ersatzturbo|ersatzturbolader) (fur|fuer|von|des|der)
(ersetzt|ersetzen|ersatzweise)
(vergleichbar|identisch) (mit|zu) (teil|turbolader|teilenummer)
(als ersatz|im ersatz) [fur|fuer|von|des]
austauschbar (mit|gegen)

[compatible fits]
(fur|fuer|passend|passt|geeignet|passgenau)
(passend|passt|passen|passgenau|geeignet|bestimmt|verwendbar|einsetzbar) (fur|fuer|zu|bei|an|in|auf)
passend [fur|fuer] (folgende|alle)

[label]
(der|den|das) (original|originale|originalen|alte) (turbo|turbolader|lader|teil) (war|wurde|ist|hatte) (defekt*|kaputt|ersetzt|getauscht|undicht)
(original*|oe|oem|hersteller*|vergleichs|referenz|erstausruster) [teile|ersatzteil*|artikel|teil] (nr|nummer*|no|num|teilenummer*|ersatzteilnummer*|ref|referenz*|vergleichsnummer*|artikelnummer*)
(originalnummer*|vergleichsnummer*|originalteilenummer*|originalteilnummer*|oenummer*|oemnummer*|oe nr|oem nr|oereferenz*|originalersatzteilnummer*|referenznummer*)
(oem|oe) :
(original|originale|originaler) (preis|kaufpreis|zustand|farbe|neupreis|anzeige|beschreibung)
(originalpreis*|originalneupreis|originalfarbe|originalbeschreibung)
(kompatible|passende|geeignete) (fahrzeuge|modelle|motoren|fahrzeugtypen|nummern)
(vorsicht|achtung|warnung|finger weg) (vor|bei|von) [billigen|gunstigen|den|allen|chinesischen] (kopien|nachbauten|falschungen|plagiaten|fakes|nachbau|repliken|imitaten)
(kopie|kopien) (der|von|des) [original] (rechnung|ausweis|belegs|beleg|zertifikats|kaufvertrags|quittung)
(rechnungskopie|fotokopie)
nicht (nur|mehr)
(gunstiger|billiger|besser) als [das|ein|der] (original|originalteil|nachbau|nachbauten)
(statt|anstatt|im gegensatz zu) [zum|dem|den|billigen|einem] (original|originalteil|nachbau|nachbauten|kopien|zubehor)
echt* (schnappchen|gunstig*|leder|gut*|super)
fur (teile|weitere|fragen|alle|den|die)

[hedge oem]
(oem|oes|oe teil|oem teil|oe ersatzteil)
erstausruster*
[marken] erstausrustung*

[hedge oem-quality]
(oe|oem|oes|original|originale|originaler|originalen|erstausruster|erstausrustungs|hersteller|werks) (qualitat|qualitaet|standard|niveau|spezifikation|spezifikationen|level|vorgaben|norm|fertigung|equivalent)
(originalqualitat|originalqualitaet|erstausrusterqualitat|erstausrusterqualitaet|erstausruesterqualitaet|erstausrustungsqualitat|markenqualitat|herstellerqualitat|oemqualitat|oequalitat|originalstandard|originalniveau|werksqualitat)
nach (oe|oem|original|hersteller|herstellervorgaben|originalvorgaben|originalspezifikation) [spezifikation|spezifikationen|vorgabe|vorgaben|norm|standard] [gefertigt|hergestellt|produziert]
qualitat (wie|des|eines) [das|dem|der] (original|originals|erstausruster*)

[hedge like-original]
(wie|fast wie|genau wie|so gut wie) [das|ein|im|beim|vom] (original|originalteil|originaler|originale|oem)
(entspricht|gleicht|gleichwertig|identisch|ebenburtig|baugleich|gleich) [zu|zum|mit|mit dem|dem|der|einem] (original|originalteil|originalen|oem|originalturbolader)
(dem|zum) original (identisch|gleichwertig|ebenburtig|entsprechend|gleich)
(originalgetreu*|originalahnlich*|originalgleich*)

[hedge top-quality]
(top|premium|beste|hochste|spitzen) qualitat
(topqualitat|premiumqualitat|spitzenqualitat)

[copy replica]
(nachbau*|kopie|kopien|replika|replik|repliken|plagiat*|falschung*|faelschung*|imitat*|imitation*|fake|nachgebaut*|nachgemacht*|chinanachbau|chinakopie|chinaturbo|chinalader|raubkopie|klon|billignachbau|billigkopie|nachahmung*)
(china|chinesisch*) (nachbau|kopie|replika|fake|turbo|lader)

[copy grade]
1 : 1 (nachbau|kopie|replika)
(aaa|1 : 1 qualitat)

[condition new]
(neu|neuer|neue|neues|nagelneu|neuware|neuteil|neuwertig|unbenutzt*|ungebraucht*|unverbaut*|nie verbaut|nie benutzt|nicht verbaut)

[condition new-old-stock]
(neu alter lagerbestand|altbestand|lagerbestand|lagerware|nos)

[condition remanufactured]
(werksaufbereitet|werksuberholt|remanufactured|reman|industriell aufbereitet|industriell uberholt|refabriziert)

[condition rebuilt]
(generaluberholt*|generalueberholt*|uberholt*|ueberholt*|instandgesetzt*|instand gesetzt|aufbereitet*|aufgearbeitet*|regeneriert*|repariert*|revidiert*|wiederaufbereitet*)

[condition exchange]
(austauschteil*|austausch|im austausch|austauschturbo*|austauschlader|austauschaggregat|at teil|tauschteil*)

[condition core-charge]
(altteilpfand|pfand|altteilkaution|altteilsteuer|altteil ruckgabe|altteilruckgabe|pfandwert|altteilwert)

[condition core]
(altteil|altteile)

[condition used]
(gebraucht*|gebrauchtteil*|ausgebaut*|second hand|ausgeschlachtet|schlachtfahrzeug|schlachtfest|unfallwagen|aus unfall*)

[condition parts-only]
(defekt*|bastler*|als ersatzteilspender|ersatzteilspender|ersatzteiltrager|kaputt*|beschadigt*|an bastler)

[condition bench-tested]
(ausgewuchtet*|feingewuchtet*|auf prufstand getestet|prufstandgetestet|prufstand getestet|hochgenau gewuchtet)

[condition tested]
(getestet*|gepruft*|geprueft*|funktionsgepruft)

[condition cleaned]
(gereinigt*|gesandstrahlt*|gestrahlt*|poliert*|lackiert|glasperlengestrahlt)

[no-returns no-returns]
(keine|ohne|kein|keinerlei) (rucknahme|ruecknahme|ruckgabe|rueckgabe|umtausch|ruckgaberecht|widerrufsrecht|retoure|retouren|rucksendung)
(rucknahme|ruckgabe|umtausch) (ausgeschlossen|nicht moglich)
vom umtausch ausgeschlossen
(keine rucknahme|kein umtausch) (und|oder) (keine|kein) (garantie|rucknahme|umtausch)

[no-returns as-is]
(gekauft wie gesehen|wie gesehen|verkauf wie besichtigt|wie besehen|wie besichtigt)

[no-returns no-warranty]
(keine|ohne|keinerlei) (garantie|gewahrleistung|gewaehrleistung|sachmangelhaftung|haftung)
(ausschluss|unter ausschluss) (der|jeder|jeglicher) (gewahrleistung|sachmangelhaftung|garantie)
(gewahrleistung|garantie|sachmangelhaftung) [ist|wird] (ausgeschlossen|ausgeschlossen)
privatverkauf

[off-platform contact]
(bitte|vorher|erst) (anrufen|telefonisch|anfragen per telefon|per whatsapp|anschreiben)
(vor|vorm) [dem] (kauf|bestellung) [bitte] (anrufen|kontaktieren|melden|anfragen)
(melden|schreiben|kontakt*|melde|schreib) [sie] [mir|uns|dich] (per|uber|auf|via) (whatsapp|telegram|telefon|mail|email|signal|messenger)
(whatsapp|telegram) [:|nummer|unter]

[off-platform payment]
(nur|ausschliesslich) [per|gegen|mit] (uberweisung|ueberweisung|bankuberweisung|barzahlung|vorkasse|bar|krypto)
(zahlung|bezahlung) (nur|ausschliesslich) [per|mit] (uberweisung|vorkasse|bar|bankuberweisung)
(an|mit) freunde [und familie]

[off-platform cheaper-direct]
(gunstiger|billiger|rabatt) (direkt|bei direktkauf|ausserhalb|bei anruf|telefonisch)

[branding neutral-box]
(neutrale|neutraler|neutralem|neutralen|neutral) (verpackung|karton|schachtel|box|verpackt*)
(neutralverpackung|neutralkarton|weisser karton|weissem karton|neutralverpackt)

[branding no-logo]
(ohne|kein|keine) (logo|markenlogo|markenzeichen|markenname|markenaufdruck|typenschild|beschriftung|hersteller logo)

[branding custom]
(eigenes|ihr|ihrem|eigenem|wunsch|individuelles|individuelle) (logo|typenschild|typenschilder|label|etikett|branding|verpackung)
(logo|typenschild|typenschilder|karton|aufdruck) (auf wunsch|moglich|nach wunsch|auf anfrage|erhaltlich|separat)
(wunschtypenschild|wunschlogo|typenschild nach wunsch|typenschildservice|typenschilder einzeln)

[vague-origin imported]
(importware|importiert*|importteil*|importqualitat)

[vague-origin technology]
(deutsche|deutscher|japanische|europaische|amerikanische|japanischer|italienische) (technologie|technik|ingenieurskunst|qualitat|wertarbeit)
(technologie|technik|know how) aus (deutschland|japan|europa)

[domestic-made]
(made in germany|in deutschland (hergestellt|gefertigt|produziert)|hergestellt in deutschland|deutsche (fertigung|produktion|herstellung)|aus deutscher (fertigung|produktion)|made in eu|gefertigt in deutschland|produziert in deutschland)

[surplus surplus]
(uberproduktion|ueberproduktion|restposten|uberbestand|lagerauflosung|werksuberbestand|produktionsuberschuss|insolvenzware|uberschussproduktion|sonderposten)

[surplus same-factory]
[aus] (demselben|dem selben|dem gleichen|gleichem|selber|gleichen|derselben) (werk|fabrik|produktion|produktionslinie|hersteller|band|fertigung)
(selbes|gleiches|selbe|gleiche) (werk|fabrik|band|produktionslinie) [ohne] [logo]
vom [gleichen|selben] band

[logo-removed]
(logo|markenlogo|markenname|marke|schriftzug|markenzeichen|typenschild|emblem) [wurde|wurden|ist|aus] [rechtlichen|zollrechtlichen|markenrechtlichen] [grunden] (entfernt|abgeschliffen|unkenntlich|weggeschliffen|abgefrast|geschwarzt|abgedeckt)
(entferntes|abgeschliffenes|unkenntliches) (logo|markenzeichen|typenschild)

[authorised-dealer]
(autorisierter|autorisierte|offizieller|offizielle|zertifizierter|anerkannter|zugelassener) (handler|haendler|vertriebspartner|distributor|fachhandler|partner|servicepartner|vertreter|vertragshandler|handelspartner|stutzpunkthandler)
(vertragshandler|vertragspartner|generalvertretung|werksvertretung)

[reference-only]
(nur|lediglich|ausschliesslich|allein) (zu|zur|der|als|zum) (vergleichszweck*|referenz*|identifi*|vergleich|zuordnung) [genannt|verwendet|angegeben]
(dienen|werden) (zu|zur|als|zum) (vergleichszwecken|referenz|identifikation|identifizierung|referenzzwecken|vergleich|zuordnung) [genannt|verwendet|angegeben]
(steht|stehen|stehe) in (keiner|keinem) (verbindung|zusammenhang) [mit|zu|zum]

[upgrade billet]
(gefrast|gefraest|billet|geschmiedet)* [verdichterrad]
(billet|gefrastes|geschmiedetes) (verdichterrad|rad|laufrad)

[upgrade upgraded]
(upgrade*|verstarkt*|vergrossert*|optimiert*|hybrid|leistungsgesteigert*)

[gift]
(gratis|kostenlos|kostenlose|kostenloser|geschenk) (dichtungssatz|montagesatz|dichtungen|werkzeug|werkzeugset|ol|geschenk|dichtsatz|montagekit)
(dichtungssatz|montagesatz|werkzeug) (gratis|geschenkt|kostenlos|gratis dazu)

[noun unit]
(turbo|turbolader*|abgasturbo*|lader|turbos|rumpfgruppe*|rumpfgruppen*|rumpf|kompressor)
(teil|teile|ersatzteil|ersatzteile|produkt|artikel|ware|neuteil|einheit|aggregat)

[noun kit]
(dichtungssatz*|dichtungssatzes|dichtsatz*|dichtungen|dichtung|montagesatz*|montagekit|reparatursatz*|anbausatz*|einbausatz*|kit|set|dichtungskit|schraubensatz|anbauteile)

[noun component]
(stelldose|steller|stellmotor|unterdruckdose|druckdose|aktuator|verdichterrad|turbinenrad|welle|lager|lagern|gehause|leitung|olleitung|schlauch|krummer|schelle|sensor|ventil|magnetventil|leitschaufeln|vtg|verstelleinheit|elektronik|komponenten|bauteilen|bauteile|innenteile|typenschild|schrauben|muttern)

[noun core]
(altteil|altteile|altturbo|altlader)

[noun photo]
(foto|fotos|bild|bilder|bildern|aufnahmen|abbildung)

[noun packaging]
(verpackung*|karton*|schachtel|box|kiste|tute|etikett|umkarton)

[noun paper]
(rechnung|anleitung|zertifikat|prufprotokoll|unterlagen|garantiekarte|papiere|beleg|protokoll|dokumente|quittung|wuchtprotokoll)

[noun vehicle]
(motor|motoren|fahrzeug|auto|wagen|laufleistung|kilometer|zustand|getriebe|km stand)

[not]
(kein|keine|keinen|keiner|keines|keinem|nicht|ohne|weder|niemals|nichts)

[with]
(mit|inkl|inklusive|samt|nebst|unter verwendung|plus|zzgl|aus)

[words]
(der|die|das|den|dem|des|ein|eine|einen|einem|einer|eines|und|oder|ist|sind|es|sich|um|fur|fuer|auf|bei|im|in|von|zu|zum|zur|nur|sehr|bitte|wird|werden|nach|ab|auch|wir|ihr|sie|ich|sondern|aber|neu|neuer|neue|dies|dieser|dieses|diese|handelt|komplett|mit|kein|keine|nicht|ohne)

[unbranded]
(markenlos|ohne marke|no name|noname|nicht zutreffend|keine marke|ohne markenname|trifft nicht zu|entfallt|unbekannt|neutral)
