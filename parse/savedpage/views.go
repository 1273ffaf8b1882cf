package savedpage

import (
	"net/url"
	"strings"

	"counterfoil/parse/internal/phrase"
	"counterfoil/parse/listing"
)

// viewWords tell what a photo shows from the words beside it, in eight
// languages. Common practice of the trade, no source.
var viewWords = phrase.NewSet(
	phrase.Of(listing.ViewSerialPlate, "en", "serial plate, nameplate, name plate, type plate, id plate, data plate, identification plate, rating plate, serial tag, serial number plate"),
	phrase.Of(listing.ViewSerialPlate, "de", "typenschild, typschild, typenplakette, seriennummernschild, fabrikschild"),
	phrase.Of(listing.ViewSerialPlate, "fr", "plaque signalétique, plaque d'identification, plaque constructeur, plaque de série, plaquette"),
	phrase.Of(listing.ViewSerialPlate, "es", "placa de identificación, placa de características, placa de serie, placa del turbo, placa"),
	phrase.Of(listing.ViewSerialPlate, "it", "targhetta, targhetta identificativa, placchetta"),
	phrase.Of(listing.ViewSerialPlate, "pl", "tabliczka, tabliczka znamionowa, tabliczki"),
	phrase.Of(listing.ViewSerialPlate, "ru", "табличка, шильдик, бирка, заводская табличка"),
	phrase.Of(listing.ViewSerialPlate, "zh", "铭牌, 銘牌, 标牌"),
	phrase.Of(listing.ViewBoxLabel, "en", "box label, carton label, package label, packaging label, label on box, label on the box"),
	phrase.Of(listing.ViewBoxLabel, "de", "kartonetikett, etikett, kartonaufkleber, verpackungsetikett"),
	phrase.Of(listing.ViewBoxLabel, "fr", "étiquette, étiquette de la boîte, étiquette carton"),
	phrase.Of(listing.ViewBoxLabel, "es", "etiqueta, etiqueta de la caja"),
	phrase.Of(listing.ViewBoxLabel, "it", "etichetta, etichetta della scatola"),
	phrase.Of(listing.ViewBoxLabel, "pl", "etykieta, naklejka na pudełku"),
	phrase.Of(listing.ViewBoxLabel, "ru", "этикетка, наклейка на коробке"),
	phrase.Of(listing.ViewBoxLabel, "zh", "标签, 包装标签, 盒标"),
	phrase.Of(listing.ViewCompressorMark, "en", "compressor mark, compressor casting, compressor casting mark, compressor housing mark, compressor housing casting, compressor housing"),
	phrase.Of(listing.ViewCompressorMark, "de", "verdichtergehäuse, verdichter gussmarke, verdichterguss, kompressorgehäuse"),
	phrase.Of(listing.ViewCompressorMark, "fr", "carter compresseur, marquage compresseur"),
	phrase.Of(listing.ViewCompressorMark, "es", "carcasa del compresor, caracola de admisión, marca del compresor"),
	phrase.Of(listing.ViewCompressorMark, "it", "chiocciola compressore, marchio compressore"),
	phrase.Of(listing.ViewCompressorMark, "pl", "obudowa sprężarki, muszla zimna, oznaczenie sprężarki"),
	phrase.Of(listing.ViewCompressorMark, "ru", "корпус компрессора, холодная улитка, улитка компрессора"),
	phrase.Of(listing.ViewCompressorMark, "zh", "压气机壳, 压壳"),
	phrase.Of(listing.ViewTurbineMark, "en", "turbine mark, turbine casting, turbine casting mark, turbine housing mark, turbine housing casting, turbine housing"),
	phrase.Of(listing.ViewTurbineMark, "de", "turbinengehäuse, turbinenguss, abgasgehäuse"),
	phrase.Of(listing.ViewTurbineMark, "fr", "carter turbine, carter d'échappement, marquage turbine"),
	phrase.Of(listing.ViewTurbineMark, "es", "carcasa de la turbina, caracola de escape, marca de la turbina"),
	phrase.Of(listing.ViewTurbineMark, "it", "chiocciola turbina, chiocciola di scarico"),
	phrase.Of(listing.ViewTurbineMark, "pl", "obudowa turbiny, muszla gorąca, oznaczenie turbiny"),
	phrase.Of(listing.ViewTurbineMark, "ru", "корпус турбины, горячая улитка"),
	phrase.Of(listing.ViewTurbineMark, "zh", "涡轮壳, 涡壳"),
	phrase.Of(listing.ViewWheelNut, "", "wheel nut, compressor nut, shaft nut, wellenmutter, verdichterradmutter, radmutter, écrou de roue, écrou d'arbre, tuerca de la rueda, tuerca del eje, dado della girante, nakrętka wirnika, nakrętka wału, гайка вала, гайка крыльчатки, гайка колеса, 叶轮螺母, 轴螺母"),
	phrase.Of(listing.ViewActuator, "", "actuator bracket, actuator, wastegate actuator, aktuator, steller, druckdose, unterdruckdose, stellmotor, actuateur, wastegate, capsule, actuador, soporte del actuador, attuatore, staffa attuatore, siłownik, gruszka, wspornik siłownika, актуатор, кронштейн актуатора, клапан актуатора, 执行器, 执行器支架"),
)

// views tells what a photo shows from its caption, its alternative text and
// its file names.
func views(caption, alt string, refs []string) []listing.View {
	var out []listing.View
	seen := map[string]bool{}
	add := func(text, by string) {
		if text == "" {
			return
		}
		f := phrase.Fold(text)
		for _, m := range viewWords.All(f) {
			if !seen[m.Value] {
				seen[m.Value] = true
				out = append(out, listing.View{Name: m.Value, By: by, Text: f.Quote(m.Start, m.End)})
			}
		}
	}
	add(caption, "caption")
	add(alt, "alt")
	for _, ref := range refs {
		if strings.HasPrefix(ref, "data:") {
			continue
		}
		name := baseName(ref)
		if s, err := url.PathUnescape(name); err == nil {
			name = s
		}
		add(strings.Join(nameParts(name), " "), "file-name")
	}
	return out
}
