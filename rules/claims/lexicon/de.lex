# German. Common practice of the trade, from memory, no source; native review wanted.
lang de
bind after last      # "originaler Dichtungssatz"; compounds are listed as they are written

[genuine]
[100 %|100 prozent|absolut|garantiert] (original|originaler|originale|originales|originalen|originalem|originals|orig)
(echter|echte|echtes|echten|echt|authentisch*)
kein (nachbau|fake|plagiat|imitat)

[genuine genuine scope=unit]
original (teil|teile|teilen|ersatzteilen|ersatzteil|ersatzteile|neuteil|produkt|artikel|ware)
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
(werksneu*|werksoriginal)
vom originalhersteller

[genuine sealed-box]
(originalverschweißt*|originalversiegelt*|werksversiegelt*)
(original|werkseitig) (versiegelt|verschweißt)

[genuine packaging scope=packaging]
(ovp|originalverpackt*|originalverpackung*|originalkarton*|originalschachtel|originalbox|originalkiste)
original (verpackung|karton|verpackungen|verpackt)

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
(zubehörteil*|zubehoerteil*|aftermarket|after market|nachrüstteil*|nachruestteil*|nachfertigung*|fremdfabrikat*|fremdhersteller|alternativteil*|drittanbieter|fremdprodukt*|identteil*|zubehörturbo*|zubehörlader|zubehörware)
[ein|teil|turbo|turbolader|lader] (aus dem|vom) (zubehör|zubehoer|zubehörhandel|zubehörhersteller|freien markt)
(freies|freie) (ersatzteil|ersatzteile)
nicht [ein] (vom|von) [original] (hersteller|originalhersteller|werk)
(baugleich*|gleichwertig*)
(nichtoriginal|nicht originalteil|kein erstausrüster)
(zubehör|zubehoer) (turbolader|turbo|lader|rumpfgruppe)
alternative (zu|zum|für|fuer)
entspricht (der|dem) (teilenummer|nummer)
(kompatibler|kompatibles|kompatiblen) (turbolader|turbo|lader|teil|ersatzteil)

[compatible compatible-with]
(kompatibel|kompatibilität|kompatibler|kompatible|kompatibles) [mit|zu|für|fuer]

[compatible replaces]
(ersatz|austausch|ersatzteil|ersatzlader|ersatzturbo|ersatzturbolader) (für|fuer|von|des|der)
(ersetzt|ersetzen|ersatzweise)
(vergleichbar|identisch) (mit|zu) (teil|turbolader|teilenummer)
(als ersatz|im ersatz) [für|fuer|von|des]
austauschbar (mit|gegen)

[compatible fits]
(für|fuer|passend|passt|geeignet|passgenau)
(passend|passt|passen|passgenau|geeignet|bestimmt|verwendbar|einsetzbar) (für|fuer|zu|bei|an|in|auf)
passend [für|fuer] (folgende|alle)

[label]
(der|den|das) (original|originale|originalen|alte) (turbo|turbolader|lader|teil) (war|wurde|ist|hatte) (defekt*|kaputt|ersetzt|getauscht|undicht)
(original*|oe|oem|hersteller*|vergleichs|referenz|erstausrüster) [teile|ersatzteil*|artikel|teil] (nr|nummer*|no|num|teilenummer*|ersatzteilnummer*|ref|referenz*|vergleichsnummer*|artikelnummer*)
(originalnummer*|vergleichsnummer*|originalteilenummer*|originalteilnummer*|oenummer*|oemnummer*|oe nr|oem nr|oereferenz*|originalersatzteilnummer*|referenznummer*)
(oem|oe) :
(original|originale|originaler) (preis|kaufpreis|zustand|farbe|neupreis|anzeige|beschreibung)
(originalpreis*|originalneupreis|originalfarbe|originalbeschreibung)
(kompatible|passende|geeignete) (fahrzeuge|modelle|motoren|fahrzeugtypen|nummern)
(vorsicht|achtung|warnung|finger weg) (vor|bei|von) [billigen|günstigen|den|allen|chinesischen] (kopien|nachbauten|fälschungen|plagiaten|fakes|nachbau|repliken|imitaten)
(kopie|kopien) (der|von|des) [original] (rechnung|ausweis|belegs|beleg|zertifikats|kaufvertrags|quittung)
(rechnungskopie|fotokopie)
nicht (nur|mehr)
(gereinigt|gespült|geprüft|getestet|ersetzt) werden
(günstiger|billiger|besser) als [das|ein|der] (original|originalteil|nachbau|nachbauten)
(statt|anstatt|im gegensatz zu) [zum|dem|den|billigen|einem] (original|originalteil|nachbau|nachbauten|kopien|zubehör)
echt* (schnäppchen|gunstig*|leder|gut*|super)
für (teile|weitere|fragen|alle|den|die)

[hedge oem]
(oem|oes|oe teil|oem teil|oe ersatzteil)
erstausrüster*
[marken] erstausrustung*

[hedge oem-quality]
(oe|oem|oes|original|originale|originaler|originalen|erstausrüster|erstausrüstungs|hersteller|werks) (qualität|qualitaet|standard|niveau|spezifikation|spezifikationen|level|vorgaben|norm|fertigung|equivalent)
(originalqualität|originalqualitaet|erstausrüsterqualität|erstausrusterqualitaet|erstausruesterqualitaet|erstausrüstungsqualität|markenqualität|herstellerqualität|oemqualität|oequalität|originalstandard|originalniveau|werksqualität)
nach (oe|oem|original|hersteller|herstellervorgaben|originalvorgaben|originalspezifikation) [spezifikation|spezifikationen|vorgabe|vorgaben|norm|standard] [gefertigt|hergestellt|produziert]
qualität (wie|des|eines) [das|dem|der] (original|originals|erstausrüster*)

[hedge like-original]
(wie|fast wie|genau wie|so gut wie) [das|ein|im|beim|vom] (original|originalteil|originaler|originale|oem)
(entspricht|gleicht|gleichwertig|identisch|ebenbürtig|baugleich|gleich) [zu|zum|mit|mit dem|dem|der|einem] (original|originalteil|originalen|oem|originalturbolader)
(dem|zum) original (identisch|gleichwertig|ebenbürtig|entsprechend|gleich)
(originalgetreu*|originalähnlich*|originalgleich*)

[hedge top-quality]
(top|premium|beste|höchste|spitzen) qualität
(topqualität|premiumqualität|spitzenqualität)

[copy replica]
(nachbau*|kopie|kopien|replika|replik|repliken|plagiat*|fälschung*|faelschung*|imitat*|imitation*|fake|nachgebaut*|nachgemacht*|chinanachbau|chinakopie|chinaturbo|chinalader|raubkopie|klon|billignachbau|billigkopie|nachahmung*)
(china|chinesisch*) (nachbau|kopie|replika|fake|turbo|lader)

[copy grade]
1 : 1 (nachbau|kopie|replika)
(aaa|1 : 1 qualität)

[condition new]
(neu|neuer|neue|neues|nagelneu|fabrikneu*|neuware|neuteil|neuwertig|unbenutzt*|ungebraucht*|unverbaut*|nie verbaut|nie benutzt|nicht verbaut)

[condition new-old-stock]
(neu alter lagerbestand|altbestand|lagerbestand|lagerware|nos)

[condition remanufactured]
(werksaufbereitet|werksüberholt|remanufactured|reman|industriell aufbereitet|industriell überholt|refabriziert)

[condition rebuilt]
(generalüberholt*|generalueberholt*|überholt*|ueberholt*|instandgesetzt*|instand gesetzt|aufbereitet*|aufgearbeitet*|regeneriert*|repariert*|revidiert*|wiederaufbereitet*)

[condition exchange]
(austauschteil*|austausch|im austausch|austauschturbo*|austauschlader|austauschaggregat|at teil|tauschteil*)

[condition core-charge]
(altteilpfand|pfand|altteilkaution|altteilsteuer|altteil rückgabe|altteilruckgabe|pfandwert|altteilwert)

[condition core]
(altteil|altteile)

[condition used]
(gebraucht*|gebrauchtteil*|ausgebaut*|second hand|ausgeschlachtet|schlachtfahrzeug|schlachtfest|unfallwagen|aus unfall*)

[condition parts-only]
(defekt*|bastler*|als ersatzteilspender|ersatzteilspender|ersatzteilträger|kaputt*|beschädigt*|an bastler)

[condition bench-tested]
(ausgewuchtet*|feingewuchtet*|auf prüfstand getestet|prüfstandgetestet|prüfstand getestet|hochgenau gewuchtet)

[condition tested]
(getestet*|geprüft*|geprueft*|funktionsgeprüft)

[condition cleaned]
(gereinigt*|gesandstrahlt*|gestrahlt*|poliert*|lackiert|glasperlengestrahlt)

[no-returns no-returns]
(keine|ohne|kein|keinerlei) (rücknahme|ruecknahme|rückgabe|rueckgabe|umtausch|rückgaberecht|widerrufsrecht|retoure|retouren|rücksendung)
(rücknahme|rückgabe|umtausch) (ausgeschlossen|nicht möglich)
vom umtausch ausgeschlossen
(keine rücknahme|kein umtausch) (und|oder) (keine|kein) (garantie|rücknahme|umtausch)

[no-returns as-is]
(gekauft wie gesehen|wie gesehen|verkauf wie besichtigt|wie besehen|wie besichtigt)

[no-returns no-warranty]
(keine|ohne|keinerlei) (garantie|gewährleistung|gewaehrleistung|sachmängelhaftung|haftung)
(ausschluss|unter ausschluss) (der|jeder|jeglicher) (gewährleistung|sachmängelhaftung|garantie)
(gewährleistung|garantie|sachmängelhaftung) [ist|wird] (ausgeschlossen|ausgeschlossen)
privatverkauf

[off-platform contact]
(bitte|vorher|erst) (anrufen|telefonisch|anfragen per telefon|per whatsapp|anschreiben)
(vor|vorm) [dem] (kauf|bestellung) [bitte] anrufen
(melden|schreiben|kontakt*|melde|schreib) [sie] [mir|uns|dich] (per|über|auf|via) (whatsapp|telegram|telefon|mail|email|signal|messenger)
(whatsapp|telegram) [:|nummer|unter]

[off-platform payment]
(nur|ausschließlich) [per|gegen|mit] (überweisung|ueberweisung|banküberweisung|barzahlung|vorkasse|bar|krypto)
(zahlung|bezahlung) (nur|ausschließlich) [per|mit] (überweisung|vorkasse|bar|banküberweisung)
(an|mit) freunde [und familie]

[off-platform cheaper-direct]
(günstiger|billiger|rabatt) (direkt|bei direktkauf|ausserhalb|bei anruf|telefonisch)

[branding neutral-box]
(neutrale|neutraler|neutralem|neutralen|neutral) (verpackung|karton|schachtel|box|verpackt*)
(neutralverpackung|neutralkarton|weißer karton|weißem karton|neutralverpackt)

[branding no-logo]
(ohne|kein|keine) (logo|markenlogo|markenzeichen|markenname|markenaufdruck|typenschild|beschriftung|hersteller logo)

[branding custom]
(eigenes|ihr|ihrem|eigenem|wunsch|individuelles|individuelle) (logo|typenschild|typenschilder|label|etikett|branding|verpackung)
(logo|typenschild|typenschilder|karton|aufdruck) (auf wunsch|möglich|nach wunsch|auf anfrage|erhältlich|separat)
(wunschtypenschild|wunschlogo|typenschild nach wunsch|typenschildservice|typenschilder einzeln)

[vague-origin imported]
(importware|importiert*|importteil*|importqualität)

[vague-origin technology]
(deutsche|deutscher|japanische|europäische|amerikanische|japanischer|italienische) (technologie|technik|ingenieurskunst|qualität|wertarbeit)
(technologie|technik|know how) aus (deutschland|japan|europa)

[domestic-made]
(made in germany|in deutschland (hergestellt|gefertigt|produziert)|hergestellt in deutschland|deutsche (fertigung|produktion|herstellung)|aus deutscher (fertigung|produktion)|made in eu|gefertigt in deutschland|produziert in deutschland)

[surplus surplus]
(überproduktion|ueberproduktion|werksüberbestand|produktionsüberschuss|überschussproduktion)

[surplus same-factory]
[aus] (demselben|dem selben|dem gleichen|gleichem|selber|gleichen|derselben) (werk|fabrik|produktion|produktionslinie|hersteller|band|fertigung)
(selbes|gleiches|selbe|gleiche) (werk|fabrik|band|produktionslinie) [ohne] [logo]
vom [gleichen|selben] band

[logo-removed]
(logo|markenlogo|markenname|marke|schriftzug|markenzeichen|typenschild|emblem) [wurde|wurden|ist|aus] [rechtlichen|zollrechtlichen|markenrechtlichen] [gründen] (entfernt|abgeschliffen|unkenntlich|weggeschliffen|abgefräst|geschwärzt|abgedeckt)
(entferntes|abgeschliffenes|unkenntliches) (logo|markenzeichen|typenschild)

[authorised-dealer]
(autorisierter|autorisierte|offizieller|offizielle|zertifizierter|anerkannter|zugelassener) (händler|haendler|vertriebspartner|distributor|fachhändler|partner|servicepartner|vertreter|vertragshändler|handelspartner|stützpunkthändler)
(vertragshändler|vertragspartner|generalvertretung|werksvertretung)

[reference-only]
(nur|lediglich|ausschließlich|allein) (zu|zur|der|als|zum) (vergleichszweck*|referenz*|identifi*|vergleich|zuordnung) [genannt|verwendet|angegeben]
(dienen|werden) (zu|zur|als|zum) (vergleichszwecken|referenz|identifikation|identifizierung|referenzzwecken|vergleich|zuordnung) [genannt|verwendet|angegeben]
(steht|stehen|stehe) in (keiner|keinem) (verbindung|zusammenhang) [mit|zu|zum]

[upgrade billet]
(gefräst|gefraest|billet|geschmiedet)* [verdichterrad]
(billet|gefrästes|geschmiedetes) (verdichterrad|rad|laufrad)

[upgrade upgraded]
(upgrade*|verstärkt*|vergrößert*|optimiert*|hybrid|leistungsgesteigert*)

[gift]
(gratis|kostenlos|kostenlose|kostenloser|geschenk) (dichtungssatz|montagesatz|dichtungen|werkzeug|werkzeugset|öl|geschenk|dichtsatz|montagekit)
(dichtungssatz|montagesatz|werkzeug) (gratis|geschenkt|kostenlos|gratis dazu)

[noun unit]
(turbo|turbolader*|abgasturbo*|lader|turbos|rumpfgruppe*|rumpfgruppen*|rumpf|kompressor)
(teil|teile|ersatzteil|ersatzteile|produkt|artikel|ware|neuteil|einheit|aggregat)

[noun kit]
(dichtungssatz*|dichtungssatzes|dichtsatz*|dichtungen|dichtung|montagesatz*|montagekit|reparatursatz*|anbausatz*|einbausatz*|kit|set|dichtungskit|schraubensatz|anbauteile)

[noun component]
(stelldose|steller|stellmotor|unterdruckdose|druckdose|aktuator|verdichterrad|turbinenrad|welle|lager|lagern|gehäuse|leitung|ölleitung|schlauch|krümmer|schelle|sensor|ventil|magnetventil|leitschaufeln|vtg|verstelleinheit|elektronik|komponenten|bauteilen|bauteile|innenteile|typenschild|schrauben|muttern)

[noun core]
(altteil|altteile|altturbo|altlader)

[noun photo]
(foto|fotos|bild|bilder|bildern|aufnahmen|abbildung)

[noun packaging]
(verpackung*|karton*|schachtel|box|kiste|tüte|etikett|umkarton)

[noun paper]
(rechnung|anleitung|zertifikat|prüfprotokoll|unterlagen|garantiekarte|papiere|beleg|protokoll|dokumente|quittung|wuchtprotokoll)

[noun vehicle]
(motor|motoren|fahrzeug|auto|wagen|laufleistung|kilometer|zustand|getriebe|km stand)

[not]
(kein|keine|keinen|keiner|keines|keinem|nicht|ohne|weder|niemals|nichts)

[with]
(mit|inkl|inklusive|samt|nebst|unter verwendung|plus|zzgl|aus)

[words]
(der|die|das|den|dem|des|ein|eine|einen|einem|einer|eines|und|oder|ist|sind|es|sich|um|für|fuer|auf|bei|im|in|von|zu|zum|zur|nur|sehr|bitte|wird|werden|nach|ab|auch|wir|ihr|sie|ich|sondern|aber|neu|neuer|neue|dies|dieser|dieses|diese|handelt|komplett|mit|kein|keine|nicht|ohne)

[unbranded]
(markenlos|ohne marke|no name|noname|nicht zutreffend|keine marke|ohne markenname|trifft nicht zu|entfällt|unbekannt|neutral)
