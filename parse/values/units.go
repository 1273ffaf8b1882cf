package values

import (
	"slices"
	"strings"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
)

// unitWords are the words for what is offered. Common practice, no source;
// native review needed.
var unitWords = phrase.NewSet(
	phrase.Of(listing.Complete, "en", "turbo, turbos, turbocharger, turbochargers, turbo charger, turbo-charger, complete turbo, complete unit, complete turbocharger, complete, supercharger, assembly"),
	phrase.Of(listing.Complete, "de", "turbolader, abgasturbolader, lader, kompletter turbolader, komplett, turboladers"),
	phrase.Of(listing.Complete, "fr", "turbocompresseur, turbo complet, complet"),
	phrase.Of(listing.Complete, "es", "turbocompresor, turboalimentador, turbo completo, completo"),
	phrase.Of(listing.Complete, "it", "turbocompressore, turbina, turbina completa, turbocompressori, completa"),
	phrase.Of(listing.Complete, "pl", "turbosprężarka, turbosprężarki, turbosprężarkę, turbina, turbiny, kompletna, kompletny"),
	phrase.Of(listing.Complete, "ru", "турбина, турбины, турбину, турбокомпрессор*, турбонагнетатель, турбина в сборе, в сборе"),
	phrase.Of(listing.Complete, "zh", "涡轮增压器, 增压器, 涡轮增压, 总成"),

	phrase.Of(listing.CHRA, "en", "chra, cartridge, turbo cartridge, core assy, core assembly, turbo core, turbo chra, center housing rotating assembly, centre housing rotating assembly, center housing, centre housing, center section, centre section"),
	phrase.Of(listing.CHRA, "de", "rumpfgruppe, turbolader rumpfgruppe, turbo rumpfgruppe, rumpf"),
	phrase.Of(listing.CHRA, "fr", "cartouche, cartouche chra, chra turbo, partie centrale, cartouche turbo"),
	phrase.Of(listing.CHRA, "es", "cartucho, chra turbo, núcleo, cuerpo central, cartucho turbo"),
	phrase.Of(listing.CHRA, "it", "coreassy, nucleo, core assy, corpo centrale, coreassy turbina"),
	phrase.Of(listing.CHRA, "pl", "rdzeń, rdzeń turbosprężarki, rdzeń turbiny, wkład turbosprężarki, środek turbosprężarki, korpus środkowy"),
	phrase.Of(listing.CHRA, "ru", "картридж, картридж турбины, сердечник турбины"),
	phrase.Of(listing.CHRA, "zh", "机芯, 涡轮机芯, 增压器机芯, 中间体"),

	phrase.Of(listing.Kit, "en", "gasket kit, gasket set, gaskets, gasket, repair kit, rebuild kit, service kit, mounting kit, fitting kit, stud kit, overhaul kit, kit, seal kit"),
	phrase.Of(listing.Kit, "de", "dichtungssatz, dichtsatz, montagesatz, reparatursatz, anbausatz, dichtung, dichtungen, rep-satz, dichtungs-satz, satz"),
	phrase.Of(listing.Kit, "fr", "kit de joints, pochette de joints, joints, kit de réparation, kit de montage, kit joints, kit réparation"),
	phrase.Of(listing.Kit, "es", "juego de juntas, juntas, kit de juntas, kit de reparación, kit de montaje, kit reparación"),
	phrase.Of(listing.Kit, "it", "kit guarnizioni, guarnizioni, kit revisione, kit di riparazione, kit montaggio, kit di montaggio, serie guarnizioni"),
	phrase.Of(listing.Kit, "pl", "zestaw uszczelek, uszczelki, komplet uszczelek, zestaw naprawczy, zestaw montażowy, uszczelka"),
	phrase.Of(listing.Kit, "ru", "ремкомплект, комплект прокладок, прокладки, монтажный комплект, набор прокладок, прокладка"),
	phrase.Of(listing.Kit, "zh", "修理包, 垫片, 密封垫, 大修包, 安装包"),

	phrase.Of(listing.Component, "en", "actuator, wastegate, wastegate actuator, turbo actuator, electronic actuator, nozzle ring, vnt ring, vane ring, compressor wheel, turbine wheel, turbine shaft, shaft wheel, compressor housing, turbine housing, bearing housing, back plate, thrust bearing, journal bearing, vacuum actuator, billet wheel, position sensor, oil line, oil feed line, oil return line, component"),
	phrase.Of(listing.Component, "de", "ladedruckdose, unterdruckdose, druckdose, stellmotor, steller, turbo steller, ladedrucksteller, düsenring, leitschaufeln, vtg, verdichterrad, turbinenrad, turbinenwelle, verdichtergehäuse, turbinengehäuse, lagergehäuse, ölleitung"),
	phrase.Of(listing.Component, "fr", "actionneur, actuateur, capsule, wastegate, roue de compresseur, roue de turbine, géométrie variable, couronne, carter compresseur, carter turbine"),
	phrase.Of(listing.Component, "es", "actuador, válvula wastegate, geometría variable, rueda compresora, eje turbina, carcasa, anillo de toberas, corona"),
	phrase.Of(listing.Component, "it", "attuatore, valvola wastegate, geometria variabile, girante, albero turbina, chiocciola, corona"),
	phrase.Of(listing.Component, "pl", "siłownik, sterownik turbosprężarki, nastawnik, gruszka turbiny, zmienna geometria, koło kompresji, wirnik, pierścień łopatek, dysza turbiny, obudowa turbiny"),
	phrase.Of(listing.Component, "ru", "актуатор, клапан турбины, вестгейт, геометрия турбины, сопловой аппарат, крыльчатка, вал турбины, корпус турбины, улитка турбины"),
	phrase.Of(listing.Component, "zh", "执行器, 叶轮, 喷嘴环, 压气机叶轮, 涡轮壳, 压壳, 轴承壳, 电控阀"),

	phrase.Of(listing.Unknown, "", "unknown, unbekannt, inconnu, desconocido, sconosciuto, nieznany, неизвестно, 未知"),
)

// accessoryWords join what comes with the offer, or is said to be lacking, to
// what is offered.
var accessoryWords = phrase.NewSet(
	phrase.Of(true, "", "with, incl, incl., including, includes, included, plus, and, w/, mit, inkl, inkl., inklusive, samt, und, avec, inclus, et, con, incluye, incluido, y, e, completo di, z, wraz z, oraz, i, с, вместе с, включая, и, 含, 带, 送, 附, 配, 和, new, neuer, neue, neuem, neuen, a new, without, w/o, ohne, sans, sin, senza, bez, без, 不含, 不带, 无"),
)

// unitOf finds what a title offers and the phrase that says so. What comes
// with it ("turbo + gasket kit") does not count; a narrower word wins over the
// word for the whole, which then says what the part is for ("gasket kit for
// turbocharger").
func unitOf(t phrase.Text) (word string, at phrase.Match[string], ok bool) {
	var whole, narrow *phrase.Match[string]
	for _, m := range unitWords.All(t) {
		switch {
		case m.Value == listing.Complete && whole == nil:
			whole = &m
		case m.Value == listing.Complete || m.Value == listing.Unknown:
		case accessory(t, m.Start) && (whole != nil || narrow != nil), negated(t, m.Start):
		case narrow == nil || rank(m.Value) < rank(narrow.Value):
			narrow = &m
		}
	}
	switch {
	case narrow != nil:
		return narrow.Value, *narrow, true
	case whole != nil:
		return listing.Complete, *whole, true
	}
	return "", at, false
}

// rank orders the narrower units: a gasket kit for a cartridge is a kit.
func rank(unit string) int {
	return slices.Index([]string{listing.Kit, listing.CHRA, listing.Component}, unit)
}

// accessory reports a joining word or sign right before a phrase.
func accessory(t phrase.Text, start int) bool {
	head := t.Folded[max(0, start-24):start]
	trimmed := strings.TrimRight(head, " ")
	if strings.HasSuffix(trimmed, "+") || strings.HasSuffix(trimmed, "&") || strings.HasSuffix(trimmed, ",") || strings.HasSuffix(trimmed, "/") {
		return true
	}
	for _, m := range accessoryWords.All(phrase.Text{Raw: head, Folded: head}) {
		if strings.Trim(head[m.End:], " .:") == "" {
			return true
		}
	}
	return false
}

func (s *setter) unitType() {
	if slices.Contains(listing.UnitTypes, s.text) {
		s.put(s.text)
		return
	}
	folded := phrase.Fold(s.text)
	if word, ok := unitWords.Whole(folded); ok {
		s.put(word)
		return
	}
	word, _, ok := unitOf(folded)
	if !ok {
		s.unreadable("a known unit type", "write one of "+strings.Join(listing.UnitTypes, ", "))
		return
	}
	s.put(word)
}
