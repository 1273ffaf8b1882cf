package report

import "counterfoil/rules"

// The sentences of messages: English, German, French, Spanish, Polish. They are
// written from common practice; review by people whose first language is one
// of these is wanted.

var (
	letterHello = said{"Hello,", "Guten Tag,", "Bonjour,", "Buenos días:", "Dzień dobry,"}
	letterOffer = said{
		"I am interested in your offer “{offer}”.",
		"ich interessiere mich für Ihr Angebot „{offer}“.",
		"je suis intéressé(e) par votre annonce « {offer} ».",
		"Me interesa su anuncio «{offer}».",
		"interesuje mnie Państwa oferta „{offer}”."}
	letterAsk = said{
		"Before I order, may I ask you for the following:",
		"Darf ich Sie vor einer Bestellung um Folgendes bitten:",
		"Avant de commander, puis-je vous demander ce qui suit :",
		"Antes de hacer el pedido, quisiera pedirle lo siguiente:",
		"Przed złożeniem zamówienia uprzejmie proszę o następujące informacje:"}
	letterAvailable = said{
		"Is it still available?",
		"Ist der Artikel noch verfügbar?",
		"Est-elle toujours disponible ?",
		"¿Sigue disponible?",
		"Czy jest nadal aktualna?"}
	letterThanks = said{
		"Thank you very much and kind regards",
		"Vielen Dank und freundliche Grüße",
		"Merci beaucoup et cordialement",
		"Muchas gracias y un cordial saludo",
		"Dziękuję i pozdrawiam"}

	askPlate = said{
		"Please send a photo of the serial plate, in focus, so that all numbers can be read.",
		"Bitte senden Sie mir ein scharfes Foto des Typenschilds, auf dem alle Nummern lesbar sind.",
		"Merci de m'envoyer une photo nette de la plaque signalétique, avec tous les numéros lisibles.",
		"Por favor, envíeme una foto nítida de la placa de identificación, con todos los números legibles.",
		"Proszę o wyraźne zdjęcie tabliczki znamionowej, na którym widać wszystkie numery."}
	askPhotos = said{
		"Please send photos of the unit that you would ship, from all sides.",
		"Bitte senden Sie mir Fotos des Geräts, das Sie versenden würden, von allen Seiten.",
		"Merci de m'envoyer des photos de la pièce que vous expédieriez, de tous les côtés.",
		"Por favor, envíeme fotos de la unidad que enviaría, por todos los lados.",
		"Proszę o zdjęcia egzemplarza, który zostanie wysłany, ze wszystkich stron."}
	askWarranty = said{
		"Who gives the warranty, for how long, and what does it cover?",
		"Wer gibt die Garantie, wie lange gilt sie und was deckt sie ab?",
		"Qui accorde la garantie, pour quelle durée, et que couvre-t-elle ?",
		"¿Quién da la garantía, por cuánto tiempo y qué cubre?",
		"Kto udziela gwarancji, na jak długo i co ona obejmuje?"}
	askPrice = said{
		"What is the total price with shipping to my address?",
		"Wie hoch ist der Gesamtpreis mit Versand an meine Adresse?",
		"Quel est le prix total, livraison à mon adresse comprise ?",
		"¿Cuál es el precio total con envío a mi dirección?",
		"Jaka jest łączna cena z wysyłką na mój adres?"}
	askClaim = said{
		"Is it the maker's own original part, or a part by another maker made to fit?",
		"Ist es das Originalteil des Herstellers oder ein passendes Teil eines anderen Herstellers?",
		"Est-ce la pièce d'origine du fabricant, ou une pièce compatible d'un autre fabricant ?",
		"¿Es la pieza original del fabricante o una pieza compatible de otro fabricante?",
		"Czy jest to oryginalna część producenta, czy zamiennik innego producenta?"}
	askSeller = said{
		"Under which trading name and address do you sell, and do I receive an invoice?",
		"Unter welchem Firmennamen und welcher Anschrift verkaufen Sie, und erhalte ich eine Rechnung?",
		"Sous quel nom commercial et à quelle adresse vendez-vous, et recevrai-je une facture ?",
		"¿Con qué nombre comercial y dirección vende, y recibiré una factura?",
		"Pod jaką nazwą firmy i adresem prowadzą Państwo sprzedaż i czy otrzymam fakturę?"}
)

// familyAsks are the questions that findings of a family raise.
var familyAsks = map[rules.Family]said{
	rules.FamilyIdentity: {
		"Are the part number and the serial number on the plate those of the unit that you would ship?",
		"Sind Teilenummer und Seriennummer auf dem Typenschild die des Geräts, das Sie versenden würden?",
		"Le numéro de pièce et le numéro de série de la plaque sont-ils bien ceux de la pièce que vous expédieriez ?",
		"¿El número de pieza y el número de serie de la placa son los de la unidad que enviaría?",
		"Czy numer części i numer seryjny na tabliczce należą do egzemplarza, który zostanie wysłany?"},
	rules.FamilyPhoto: askPhotos,
	rules.FamilyPackaging: {
		"Please send a photo of the box with its label, beside the serial plate.",
		"Bitte senden Sie mir ein Foto der Verpackung mit Etikett, zusammen mit dem Typenschild.",
		"Merci de m'envoyer une photo de la boîte avec son étiquette, à côté de la plaque signalétique.",
		"Por favor, envíeme una foto de la caja con su etiqueta, junto a la placa de identificación.",
		"Proszę o zdjęcie pudełka z etykietą obok tabliczki znamionowej."},
	rules.FamilyClaim: askClaim,
	rules.FamilyPrice: {
		"What does the price include, and is a core deposit or another charge added?",
		"Was ist im Preis enthalten, und kommt ein Altteilpfand oder etwas anderes hinzu?",
		"Que comprend le prix, et une consigne ou d'autres frais s'y ajoutent-ils ?",
		"¿Qué incluye el precio? ¿Se añade un depósito por el casco u otro cargo?",
		"Co obejmuje cena i czy dolicza się kaucję lub inne opłaty?"},
	rules.FamilyCross: {
		"Do you have this unit in stock, and could you take a photo of it with today's date beside it?",
		"Haben Sie dieses Gerät auf Lager, und könnten Sie es mit dem heutigen Datum daneben fotografieren?",
		"Avez-vous cette pièce en stock, et pourriez-vous la photographier avec la date du jour à côté ?",
		"¿Tiene esta unidad en existencias? ¿Podría fotografiarla con la fecha de hoy al lado?",
		"Czy ten egzemplarz jest na stanie i czy mogą Państwo sfotografować go z dzisiejszą datą?"},
	rules.FamilySeller: askSeller,
	rules.FamilyTime: {
		"Since when have you had this unit, and is it still available?",
		"Seit wann haben Sie dieses Gerät, und ist es noch verfügbar?",
		"Depuis quand avez-vous cette pièce, et est-elle toujours disponible ?",
		"¿Desde cuándo tiene esta unidad? ¿Sigue disponible?",
		"Od kiedy mają Państwo ten egzemplarz i czy jest nadal dostępny?"},
	rules.FamilyTerms: {
		"Can I pay in a protected way, and what are the terms of return and warranty?",
		"Kann ich mit Käuferschutz bezahlen, und wie sind Rückgabe und Garantie geregelt?",
		"Puis-je payer avec une protection de l'acheteur, et quelles sont les conditions de retour et de garantie ?",
		"¿Puedo pagar con protección al comprador? ¿Cuáles son las condiciones de devolución y garantía?",
		"Czy mogę zapłacić z ochroną kupującego oraz jakie są warunki zwrotu i gwarancji?"},
}

// needAsk is the Ask of a need. ofPlate marks what only a unit with a plate has.
type needAsk struct {
	ask     string
	ofPlate bool
}

// needOrder puts the needs' questions in the order of what an answer is worth
// to a buyer. Kits and components have no plate.
var needOrder = []needAsk{
	{"a photo of the serial plate, in focus", true},
	{"a sharp, straight photo of the serial plate", true},
	{"the serial number on the plate", true},
	{"photos of the unit itself", false},
	{"the full part number as stamped on the plate", true},
	{"whether it is the maker's own part or made to fit", false},
	{"whether the unit is new, remanufactured or used", false},
	{"whether the price is for the complete unit", false},
	{"the price with shipping to your address", false},
	{"whether a core deposit is charged", false},
	{"photos of the plate and of the box label in one picture", true},
	{"a photo of the box label", false},
	{"the return terms", false},
	{"who gives the warranty, for how long and for what", false},
	{"the warranty terms", false},
	{"who made the unit", false},
	{"how many units the price buys", false},
	{"a full description of the unit", false},
	{"the country of origin printed on the box", false},
	{"the date code on the plate", true},
	{"the trading name and address of the seller", false},
	{"where the unit ships from", false},
	{"how many units are in stock", false},
	{"the minimum order", false},
	{"the trader's tax number", false},
	{"the bar code number on the box", false},
}

// needAsks are the questions for what a listing does not show, by the text of
// the need's Ask.
var needAsks = map[string]said{
	"the full part number as stamped on the plate": {
		"What is the full part number as stamped on the plate?",
		"Wie lautet die vollständige Teilenummer auf dem Typenschild?",
		"Quel est le numéro de pièce complet figurant sur la plaque ?",
		"¿Cuál es el número de pieza completo de la placa?",
		"Jaki jest pełny numer części na tabliczce?"},
	"the price with shipping to your address": askPrice,
	"the serial number on the plate": {
		"What is the serial number on the plate?",
		"Wie lautet die Seriennummer auf dem Typenschild?",
		"Quel est le numéro de série figurant sur la plaque ?",
		"¿Cuál es el número de serie de la placa?",
		"Jaki jest numer seryjny na tabliczce?"},
	"photos of the plate and of the box label in one picture": {
		"Please send one picture that shows the plate and the box label together.",
		"Bitte senden Sie mir ein Bild, das Typenschild und Verpackungsetikett zusammen zeigt.",
		"Merci de m'envoyer une photo montrant ensemble la plaque et l'étiquette de la boîte.",
		"Por favor, envíeme una imagen que muestre juntas la placa y la etiqueta de la caja.",
		"Proszę o jedno zdjęcie, na którym widać razem tabliczkę i etykietę pudełka."},
	"photos of the unit itself":                   askPhotos,
	"a sharp, straight photo of the serial plate": askPlate,
	"a photo of the serial plate, in focus":       askPlate,
	"who made the unit": {
		"Who made the unit?",
		"Wer hat das Gerät hergestellt?",
		"Qui a fabriqué la pièce ?",
		"¿Quién fabricó la unidad?",
		"Kto jest producentem tego egzemplarza?"},
	"whether the unit is new, remanufactured or used": {
		"Is the unit new, remanufactured or used?",
		"Ist das Gerät neu, generalüberholt oder gebraucht?",
		"La pièce est-elle neuve, reconditionnée ou d'occasion ?",
		"¿La unidad es nueva, reconstruida o usada?",
		"Czy egzemplarz jest nowy, regenerowany czy używany?"},
	"whether it is the maker's own part or made to fit": askClaim,
	"the bar code number on the box": {
		"What is the bar code number on the box?",
		"Wie lautet die Strichcodenummer auf der Verpackung?",
		"Quel est le numéro du code-barres sur la boîte ?",
		"¿Cuál es el número del código de barras de la caja?",
		"Jaki jest numer kodu kreskowego na pudełku?"},
	"the trading name and address of the seller": askSeller,
	"how many units are in stock": {
		"How many units do you have in stock?",
		"Wie viele Stück haben Sie auf Lager?",
		"Combien d'exemplaires avez-vous en stock ?",
		"¿Cuántas unidades tiene en existencias?",
		"Ile sztuk mają Państwo na stanie?"},
	"a full description of the unit": {
		"Could you describe the unit: its condition, what belongs to it and what is missing?",
		"Könnten Sie das Gerät beschreiben: Zustand, was dazugehört und was fehlt?",
		"Pourriez-vous décrire la pièce : son état, ce qui est fourni et ce qui manque ?",
		"¿Podría describir la unidad: su estado, qué incluye y qué falta?",
		"Czy mogą Państwo opisać egzemplarz: stan, co jest w zestawie, a czego brakuje?"},
	"the return terms": {
		"What are the terms of return?",
		"Welche Rückgabebedingungen gelten?",
		"Quelles sont les conditions de retour ?",
		"¿Cuáles son las condiciones de devolución?",
		"Jakie są warunki zwrotu?"},
	"who gives the warranty, for how long and for what": askWarranty,
	"the warranty terms": askWarranty,
	"the country of origin printed on the box": {
		"Which country of origin is printed on the box?",
		"Welches Ursprungsland ist auf der Verpackung angegeben?",
		"Quel pays d'origine est indiqué sur la boîte ?",
		"¿Qué país de origen figura en la caja?",
		"Jaki kraj pochodzenia jest podany na pudełku?"},
	"the trader's tax number": {
		"What is your VAT number, for the invoice?",
		"Wie lautet Ihre Umsatzsteuer-Identifikationsnummer für die Rechnung?",
		"Quel est votre numéro de TVA, pour la facture ?",
		"¿Cuál es su número de IVA, para la factura?",
		"Jaki jest Państwa numer VAT, do faktury?"},
	"whether the price is for the complete unit": {
		"Is the price for the complete unit, with housings and actuator?",
		"Gilt der Preis für das komplette Gerät mit Gehäusen und Stellglied?",
		"Le prix est-il celui de la pièce complète, avec carters et actionneur ?",
		"¿El precio es de la unidad completa, con carcasas y actuador?",
		"Czy cena dotyczy kompletnego egzemplarza, z obudowami i sterownikiem?"},
	"whether a core deposit is charged": {
		"Is a core deposit charged, and by when must the old unit be returned?",
		"Wird ein Altteilpfand berechnet, und bis wann muss das Altteil zurück sein?",
		"Une consigne est-elle demandée, et dans quel délai l'ancienne pièce doit-elle être rendue ?",
		"¿Se cobra un depósito por el casco y en qué plazo hay que devolver la unidad vieja?",
		"Czy pobierana jest kaucja i do kiedy należy zwrócić stary egzemplarz?"},
	"how many units the price buys": {
		"How many units does the price buy?",
		"Für wie viele Stück gilt der Preis?",
		"Pour combien d'exemplaires le prix s'entend-il ?",
		"¿Cuántas unidades incluye el precio?",
		"Ilu sztuk dotyczy cena?"},
	"where the unit ships from": {
		"From where is the unit shipped?",
		"Von wo wird das Gerät versandt?",
		"D'où la pièce est-elle expédiée ?",
		"¿Desde dónde se envía la unidad?",
		"Skąd wysyłany jest egzemplarz?"},
	"the date code on the plate": {
		"What is the date code on the plate?",
		"Welcher Datumscode steht auf dem Typenschild?",
		"Quel est le code de date figurant sur la plaque ?",
		"¿Qué código de fecha figura en la placa?",
		"Jaki kod daty znajduje się na tabliczce?"},
	"a photo of the box label": {
		"Please send a photo of the box label.",
		"Bitte senden Sie mir ein Foto des Verpackungsetiketts.",
		"Merci de m'envoyer une photo de l'étiquette de la boîte.",
		"Por favor, envíeme una foto de la etiqueta de la caja.",
		"Proszę o zdjęcie etykiety pudełka."},
	"the minimum order": {
		"Is there a minimum order?",
		"Gibt es eine Mindestbestellmenge?",
		"Y a-t-il une commande minimale ?",
		"¿Hay un pedido mínimo?",
		"Czy obowiązuje minimalne zamówienie?"},
}
