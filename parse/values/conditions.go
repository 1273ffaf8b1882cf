package values

import (
	"slices"
	"strings"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
)

// noCondition marks words that look like a condition and are none, so that the
// longer phrase wins: "core assy" is a unit, "as new" a way to praise.
const noCondition = ""

// conditionWords are the words for the condition of a part. Common practice,
// no source; native review needed. 'Remanufactured' is kept for wordings of a
// factory process or an exchange unit; all other rework is 'rebuilt'.
var conditionWords = phrase.NewSet(
	phrase.Of(listing.New, "", "newcondition, brand_new"),
	phrase.Of(listing.Used, "", "usedcondition"),
	phrase.Of(listing.Rebuilt, "", "refurbishedcondition"),
	phrase.Of(listing.Core, "", "damagedcondition"),
	phrase.Of(listing.Unknown, "", "unknown, not specified, see description, siehe beschreibung, keine angabe, unbekannt, inconnu, non spécifié, desconocido, non specificato, sconosciuto, nieznany, nie określono, неизвестно, не указано, 未知, n/a, -"),

	phrase.Of(listing.New, "en", "new, brand new, brand-new, new in box, new sealed, factory new, unused, nib"),
	phrase.Of(listing.New, "de", "neu, neue, neuer, neues, neuen, brandneu, fabrikneu, nagelneu, neuteil, neuware, neuwertig verpackt, unbenutzt"),
	phrase.Of(listing.New, "fr", "neuf, neuve, neufs, neuves, état neuf"),
	phrase.Of(listing.New, "es", "nuevo, nueva, nuevos, nuevas, a estrenar, sin usar"),
	phrase.Of(listing.New, "it", "nuovo, nuova, nuovi, nuove, mai usato"),
	phrase.Of(listing.New, "pl", "nowy, nowa, nowe, nowej, nowego, fabrycznie nowy, fabrycznie nowa, nieużywany, nieużywana"),
	phrase.Of(listing.New, "ru", "новый, новая, новое, новые, новую"),
	phrase.Of(listing.New, "zh", "全新, 新品, 新件, 未使用"),

	phrase.Of(listing.NewOldStock, "", "new old stock, new-old-stock, nos, old stock, altbestand, neu aus altbestand, neu alter lagerbestand, lagerrest neu, neuf ancien stock, ancien stock, nuevo stock antiguo, stock antiguo, fondo di magazzino, vecchia giacenza, nowy zapas magazynowy, stary zapas, новый старый запас, складской остаток, 库存新件, 老库存"),

	phrase.Of(listing.Remanufactured, "en", "remanufactured, remanufacture, reman, re-manufactured, factory remanufactured, exchange unit"),
	phrase.Of(listing.Remanufactured, "de", "austauschteil, austausch, austauschturbo, austauschturbolader, at-turbolader, at-teil, werksüberholt, industriell aufbereitet, industriell generalüberholt, remanufaktur*"),
	phrase.Of(listing.Remanufactured, "fr", "échange standard, remanufacturé, remanufacturée"),
	phrase.Of(listing.Remanufactured, "es", "de intercambio, remanufacturado, remanufacturada"),
	phrase.Of(listing.Remanufactured, "it", "rigenerato in fabbrica, rifabbricato, rifabbricata"),
	phrase.Of(listing.Remanufactured, "pl", "fabrycznie regenerowan*, regenerowan* fabrycznie"),
	phrase.Of(listing.Remanufactured, "ru", "восстановленный на заводе, заводское восстановление, под обмен"),
	phrase.Of(listing.Remanufactured, "zh", "再制造"),

	phrase.Of(listing.Rebuilt, "en", "rebuilt, reconditioned, refurbished, refurb, overhauled, certified refurbished, seller refurbished"),
	phrase.Of(listing.Rebuilt, "de", "überholt, überholte, überholter, überholtes, generalüberholt*, general überholt, instandgesetzt*, aufbereitet*, wiederaufbereitet*, refurbished, regeneriert*"),
	phrase.Of(listing.Rebuilt, "fr", "reconditionné*, remis à neuf, rénové*, révisé"),
	phrase.Of(listing.Rebuilt, "es", "reconstruid*, reacondicionad*, reparado, revisado"),
	phrase.Of(listing.Rebuilt, "it", "rigenerat*, revisionat*, ricondizionat*"),
	phrase.Of(listing.Rebuilt, "pl", "regenerowan*, po regeneracji, zregenerowan*, odnowion*"),
	phrase.Of(listing.Rebuilt, "ru", "восстановлен*, реставрирован*, после ремонта, отремонтирован*"),
	phrase.Of(listing.Rebuilt, "zh", "翻新"),

	phrase.Of(listing.Used, "en", "used, second hand, second-hand, secondhand, pre-owned, preowned, pulled, take-off, like new, as new, pre owned"),
	phrase.Of(listing.Used, "de", "gebraucht*, aus zweiter hand, wie neu, neuwertig"),
	phrase.Of(listing.Used, "fr", "occasion, d'occasion, usagé, usagée, comme neuf, comme neuve"),
	phrase.Of(listing.Used, "es", "usado, usada, usados, usadas, segunda mano, de segunda mano, de desguace, desguace, como nuevo, como nueva"),
	phrase.Of(listing.Used, "it", "usato, usata, usati, usate, seconda mano, di seconda mano, come nuovo, come nuova"),
	phrase.Of(listing.Used, "pl", "używany, używana, używane, używanej, używanego, jak nowy, jak nowa, z demontażu"),
	phrase.Of(listing.Used, "ru", "б/у, б.у., бу, б у, бывший в употреблении, контрактный, контрактная, контрактное, как новый, как новая"),
	phrase.Of(listing.Used, "zh", "二手, 拆车件, 拆车, 旧货"),

	phrase.Of(listing.Core, "en", "core, for parts, for parts or not working, for parts only, not working, damaged, defective, broken, spares or repair, spares or repairs, rebuildable core, scrap"),
	phrase.Of(listing.Core, "de", "defekt*, bastler, für bastler, als ersatzteil, ersatzteilspender, altteil, beschädigt*, nicht funktionsfähig"),
	phrase.Of(listing.Core, "fr", "pour pièces, hors service, hs, défectueux, défectueuse, en panne, cassé, à réparer"),
	phrase.Of(listing.Core, "es", "para piezas, para despiece, averiado, averiada, defectuoso, roto, casco"),
	phrase.Of(listing.Core, "it", "per ricambi, per parti, guasto, guasta, difettoso, rotto, da revisionare, non funzionante"),
	phrase.Of(listing.Core, "pl", "na części, uszkodzon*, niesprawn*, do regeneracji, do naprawy"),
	phrase.Of(listing.Core, "ru", "на запчасти, неисправ*, поврежден*, под восстановление, сломан*"),
	phrase.Of(listing.Core, "zh", "旧件, 报废, 损坏, 废件"),

	phrase.Of(noCondition, "en", "core assy, core assembly, turbo core, core charge, core deposit, core fee, core return, core required, no core, old core, core exchange, core surcharge, centre core, center core, new york, new zealand, new jersey, new mexico, new style, newly, used in, used on, used for, used by, used with, can be used, is used, are used, copper core, cartridge core"),
	phrase.Of(noCondition, "", "altteilpfand, altteilrückgabe, altteil erforderlich, altteil zurück, neu-isenburg, neues modell, nuevo modelo, nuovo modello, nowy model, новая модель, nowy sącz, nowy targ, nowa sól, depósito casco, casco incluido, gebrauchtwagen, gebrauchtteile, caution casco, 旧件押金, 旧件回收, neuve-chapelle, used parts, new parts"),
)

// negations turn the word behind them into its contrary.
var negations = phrase.NewSet(
	phrase.Of(true, "", "not, no, non, never, nicht, kein, keine, keinen, pas, pas d', pas de, nie, не, нет, 非, 不是, not a, is not, isn't"),
)

// negated reports a negation right before a phrase.
func negated(t phrase.Text, start int) bool {
	head := t.Folded[max(0, start-16):start]
	for _, m := range negations.All(phrase.Text{Raw: head, Folded: head}) {
		if strings.Trim(head[m.End:], " ") == "" {
			return true
		}
	}
	return false
}

// conditionOrder puts the words in the order in which one of them decides when
// several stand together: what was done to a part says more than 'used' or
// 'new'.
var conditionOrder = []string{listing.Core, listing.Remanufactured, listing.Rebuilt, listing.NewOldStock,
	listing.Used, listing.New, listing.Unknown}

// conditionOf finds the condition that a text names and the phrases that name
// it. A text that says new and used names none.
func conditionOf(t phrase.Text) (word string, found []phrase.Match[string]) {
	for _, m := range conditionWords.All(t) {
		if m.Value == noCondition || negated(t, m.Start) {
			continue
		}
		found = append(found, m)
	}
	has := func(c string) bool {
		return slices.ContainsFunc(found, func(m phrase.Match[string]) bool { return m.Value == c })
	}
	for _, c := range conditionOrder {
		if !has(c) {
			continue
		}
		if c == listing.Used && has(listing.New) {
			return "", found
		}
		found = slices.DeleteFunc(found, func(m phrase.Match[string]) bool { return m.Value != c })
		return c, found
	}
	return "", nil
}

func (s *setter) condition() {
	text := lastSegment(s.text)
	if slices.Contains(listing.Conditions, text) {
		s.put(text)
		return
	}
	word, found := conditionOf(phrase.Fold(text))
	switch {
	case word != "":
		s.put(word)
	case len(found) > 0:
		s.unreadable("one condition", "write one of "+strings.Join(listing.Conditions, ", "))
	default:
		s.unreadable("a known condition", "write one of "+strings.Join(listing.Conditions, ", "))
	}
}

// lastSegment gives the name at the end of a schema.org address, else the
// text.
func lastSegment(text string) string {
	if i := strings.LastIndexAny(text, "/#"); i >= 0 && strings.Contains(strings.ToLower(text[:i]), "schema.org") {
		return text[i+1:]
	}
	return text
}
