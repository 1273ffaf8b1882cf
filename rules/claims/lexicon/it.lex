# Italian. Common practice of the trade, from memory, no source; native review wanted.
lang it
bind before first    # "kit guarnizioni originale": the noun stands before, the first one is the head

[genuine]
[100 %|100 per cento|garantito|garantita] (originale|originali|autentico|autentica|autentici|genuino|genuina|genuini)
(original|genuine)
oem originale
originale oem

[genuine genuine scope=unit]
(ricambio|ricambi|pezzo|pezzi|prodotto|articolo|parte|parti) (originale|originali|autentico|autentica|autentici|genuino|genuini|ufficiale)

[genuine factory-original]
originale (di fabbrica|della casa|casa madre|di casa madre|della casa madre|del costruttore|del produttore)

[genuine sealed-box]
(scatola|confezione|imballo) originale (sigillata|sigillato)
(sigillato|sigillata) (di fabbrica|originale)

[compatible aftermarket]
(aftermarket|after market|generico|generica|commerciale|adattabile|adattabili)
(ricambio|ricambi|turbina|turbo|turbocompressore|prodotto) (di concorrenza|concorrenza|commerciale|alternativo|alternativa|equivalente|compatibile|adattabile|non originale|sostitutivo|sostitutiva|equivalenti)
di concorrenza
(equivalente|equivalenti) (a|al|alla|all)
(alternativa|alternativo) (a|al|alla|all)
(marca|produttore) (alternativa|indipendente|terzo|di terze parti)
(di terze parti|intercambiabile con|non della casa|non della casa madre)

[compatible compatible-with]
(compatibile|compatibili|compatibilità) [con|per]

[compatible replaces]
(sostituisce|sostituiscono|rimpiazza|sostitutivo|sostituzione|in sostituzione) [diretta|diretto] [a|del|della|di|dell|al|il|la]

[compatible compatible-with]
(adattabile|adattabili|adatta|adatto) (a|ad|al|alla|su|per)

[compatible fits]
(per|idoneo|idonea|adatto|adatta)
(idoneo|idonea|idonei|va bene|valido|valida|indicato|indicata|progettato|specifica|specifico) (per|a|su)
(si monta|montabile|si adatta) (su|a)

[label]
(la turbina|il turbo) originale (era|è stata|è stato|si è) (rotta|rotto|sostituita|sostituito|guasta)
(codice|codici|cod|numero|numeri|num|n|nr|rif|riferimento|riferimenti) [ricambio|di|del|prodotto|ricambi|pezzo|costruttore] (originale|originali|oem|oe|casa madre|costruttore|casa)
(oem|oe) (codice|codici|numero|numeri|n|rif|riferimento)
(oem|oe) :
(paese|luogo) (di origine|d'origine)
(prezzo|colore|stato|vernice|annuncio) originale
(veicoli|modelli|motori|auto) (compatibili|compatibile)
(attenzione|occhio|diffidate) (alle|dalle|da) (copie|imitazioni|repliche|contraffazioni)
(evitate|evitare) (le|copie) [copie|imitazioni]
copia (della|di|del) (fattura|documento|ricevuta|certificato|carta)
(fotocopia|fotocopie)
(non solo|non soltanto|non solamente)
riproduzione (vietata|riservata)
(deve|devono) essere (pulit*|controllat*|sostituit*)
(meno|meglio|più economico) (dell|del|di un) (originale|nuovo)
(invece|al posto) (dell|di|del) [un] (originale|nuovo originale)
per (info|informazioni|qualsiasi|ulteriori|tutti|tutte|il|la)

[hedge oem]
(oem|oes)

[hedge oem-quality]
(qualità|specific*|standard|livello|norme|grado) [di|pari|dell|del|della] [ricambio|al|all|casa] (originale|originali|oem|oe|primo equipaggiamento|primo impianto|casa madre|costruttore)
(oem|oe) qualita
(primo impianto|primo equipaggiamento)
(secondo|rispetta|conforme alle) [le] (specifiche|norme) [del|della|dell] [originale|casa|costruttore|oem|produttore]
(stessa|stesse|medesima) (qualità|specifiche|caratteristiche|prestazioni) (dell|del|della|di) (originale|oem|casa)

[hedge like-original]
(pari|uguale|identico|identica|equivalente|simile|equiparabile|paragonabile|conforme) (all|al|a|agli) (originale|originali|oem|nuovo originale)
(come|tipo|stile) [l|l'|il|un] (originale|originali|oem)

[hedge top-quality]
(alta|ottima|massima|prima|altissima) qualità
qualità (premium|superiore|top)

[copy replica]
(copia|copie|replica|repliche|imitazione|imitazioni|falso|falsa|clone|contraffatto|contraffatta|contraffazione|tarocco|taroccata|riproduzione|copiata)
(copia|replica|imitazione|turbina) (cinese|esatta|perfetta|identica)

[copy grade]
(copia|replica) 1 : 1
(aaa)

[condition new]
(nuovo|nuova|nuovi|nuove|mai montato|mai montata|mai usato|mai usata|mai utilizzata)

[condition new-old-stock]
(fondo di magazzino|fondi di magazzino|nos|rimanenza di magazzino|vecchio stock)

[condition remanufactured]
(rigenerato*|rigenerata*|rigenerate|remanufactured|reman|rifabbricato*)

[condition rebuilt]
(revisionato*|revisionata*|ricostruito*|ricostruita*|ricondizionato*|ricondizionata*|riparato*|riparata*|restaurato*|rifatta|rifatto)

[condition exchange]
(scambio|a scambio|con reso|in permuta|permuta|su scambio)

[condition core-charge]
(cauzione|reso usato|deposito cauzionale|carcassa resa|cauzione reso|reso del vecchio|cauzione carcassa)

[condition core]
(carcassa|vecchia turbina|vecchio turbo|usato in reso)

[condition used]
(usato|usata|usati|seconda mano|smontato*|smontata*|da demolizione|demolizione|autodemolizione|incidentata|incidentato|recupero)

[condition parts-only]
(per|da) (ricambi|pezzi|pezzi di ricambio|riparare|revisionare|parti)
(guasta|guasto|rotta|rotto|difettosa|difettoso|non funzionante|danneggiata|danneggiato)

[condition bench-tested]
(equilibrata|equilibrato|bilanciata|bilanciato|testata al banco|testato al banco|provata al banco|collaudata|collaudato)

[condition tested]
(testata|testato|provata|provato|controllata|controllato|verificata|verificato)

[condition cleaned]
(pulita|pulito|sabbiata|sabbiato|lucidata|lucidato|verniciata)

[no-returns no-returns]
(nessun|nessuna|no|senza|non si accettano|non accetto|niente|non si effettuano) (reso|resi|restituzione|restituzioni|rimborso|rimborsi|cambio|cambi|recesso)
(non|né) (rimborsabile|restituibile|si accettano resi)
(vendita|vendite) (finale|definitiva)

[no-returns as-is]
(venduto|venduta|vendo|vendita) (così com'è|come si vede|nello stato in cui si trova|come da foto|visto e piaciuto|come visto)
(visto e piaciuto|vista e piaciuta|così com'è)

[no-returns no-warranty]
(senza|nessuna|no|esclusa|priva di) (garanzia|garanzie)
garanzia (esclusa|non inclusa)

[off-platform contact]
(contattatemi|contattami|contattateci|contattare|scrivetemi|scrivimi|chiamatemi|chiamami) (su|via|al|per|tramite) (whatsapp|telegram|telefono|mail)
(chiamatemi|chiamami|telefonare|chiamare)
(whatsapp|telegram) [:|al|numero]

[off-platform payment]
(solo|solamente|esclusivamente|unicamente) [con|tramite|pagamento con|mediante] (bonifico|bonifico bancario|contanti|ricarica|postepay|crypto)
pagamento (solo|esclusivamente|fuori) [con|tramite|dalla] (bonifico|contanti|piattaforma)
(amici e familiari|bonifico anticipato)

[off-platform cheaper-direct]
(sconto|più economico|meno|miglior prezzo) (direttamente|fuori|per telefono|in privato|su whatsapp|fuori piattaforma)

[branding neutral-box]
(scatola|confezione|imballo|imballaggio|cartone) (neutra|neutro|bianca|bianco|anonima|senza marchio|generica)

[branding no-logo]
(senza|nessun|no) (logo|loghi|marchio|marchi|targhetta|etichetta)

[branding custom]
(logo|targhetta|targhette|etichetta|etichette|scatola|marchio) [identificativa|identificative] (personalizzato|personalizzata|personalizzate|personalizzabile|su richiesta|disponibile|disponibili|a scelta|vendute separatamente|venduta separatamente|a parte)
(il vostro|il tuo|vostro|tuo) (logo|marchio)

[vague-origin imported]
(importato|importata|d'importazione|di importazione|importazione)

[vague-origin technology]
(tecnologia|ingegneria|tecnica|qualità) (tedesca|giapponese|europea|americana|svizzera|italiana)

[domestic-made]
(prodotto|prodotta|fabbricato|fabbricata|made|costruito|realizzato) (in|nella|nell) (italia|germania|italy|germany|europa|ue|francia|usa|giappone|polonia)
(produzione|fabbricazione) (italiana|tedesca|europea|nazionale|giapponese)

[surplus surplus]
(eccedenza|eccedenze|surplus|sovrapproduzione|rimanenze di produzione)

[surplus same-factory]
[prodotta|prodotto|fatta|esce|uscita|costruita|realizzata] [nella|dalla|dalle|nelle] (stessa|stesse) (fabbrica|linea|linea di produzione|linee|stabilimento)
(nello|dallo) stesso stabilimento
stesso (produttore|stabilimento|costruttore) [senza|ma senza] [logo|marchio]

[logo-removed]
(logo|marchio|nome|targhetta|scritta|loghi) [è stato|stato|è|sono stati|è stata] (rimosso|cancellato|eliminato|coperto|limato|abraso|tolto|fresato|rimossa|rimossi|cancellata|coperta|abrasa)

[authorised-dealer]
(rivenditore|distributore|concessionario|concessionaria|partner|agente|officina|importatore) (autorizzato*|autorizzata*|ufficiale|certificato|esclusivo)

[reference-only]
(solo|solamente|esclusivamente|soltanto|unicamente) (come|per|a scopo|a titolo|a scopo di|a titolo di) (riferimento|identificazione|indicativo|informativo|identificativo)
(citati|citate|riportati|usati|utilizzati|indicati|menzionati) (come|per|a scopo|a titolo|a scopo di|a titolo di) (riferimento|identificazione|indicativo|informativo|identificativo)
(nessuna|senza|non) (affiliazione|affiliati|affiliato|relazione|legame|collegamento|legami) (con|a|ai)

[upgrade billet]
(girante billet|billet|ricavata dal pieno|girante ricavata dal pieno|girante forgiata)

[upgrade upgraded]
(maggiorata|maggiorato|rinforzata|rinforzato|ibrida|ibrido|potenziata|potenziato|modificata|upgrade)

[gift]
(omaggio|in omaggio|gratis|regalo) [un|kit] [di] (guarnizioni|kit|olio|attrezzi|omaggio)
(kit guarnizioni|guarnizioni|kit montaggio|attrezzi|olio) (omaggio|in omaggio|gratis|in regalo)

[noun unit]
(turbina|turbine|turbo|turbocompressore|turbocompressori|coreassy|core assy|chra|cartuccia|nucleo)
(pezzo|pezzi|prodotto|articolo|unità|ricambio|ricambi|parte|parti)

[noun kit]
(kit|guarnizione|guarnizioni|set|serie guarnizioni|kit guarnizioni|kit montaggio|kit revisione|kit riparazione|bulloneria|prigionieri|viti)

[noun component]
(attuatore|wastegate|geometria|geometria variabile|girante|albero|alberino|cuscinetto|cuscinetti|chiocciola|tubo|manicotto|sensore|elettrovalvola|collettore|valvola|polmone|polmoncino|componenti|fascetta|targhetta|etichetta|vernice)

[noun core]
(carcassa|vecchia turbina|reso)

[noun photo]
(foto|fotografia|fotografie|immagine|immagini)

[noun packaging]
(scatola|scatole|imballo|imballaggio|confezione|busta|cartone)

[noun paper]
(fattura|manuale|certificato|documento|documenti|documentazione|garanzia|ricevuta|scontrino)

[noun vehicle]
(motore|motori|veicolo|auto|chilometraggio|chilometri|km|cambio|stato|vettura|macchina)

[not]
(non|no|senza|né|nessun|nessuna|mai|manca|neanche)

[with]
(con|più|incluso|inclusa|compreso|compresa|comprensivo|usando|utilizzando)

[words]
(il|lo|la|i|gli|le|l|un|una|uno|di|del|della|dell|dello|dei|delle|e|è|o|in|al|alla|all|a|da|dal|su|per|si|sono|molto|questo|questa|che|ma|con|senza|non|come|solo|nuovo|nuova|buono|stato|completa|prima|va|bene)

[unbranded]
(senza marca|non applicabile|nessuna|nessuna marca|generico|non si applica|marca sconosciuta|sconosciuta|n / a|non specificato)
