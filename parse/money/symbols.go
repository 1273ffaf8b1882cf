package money

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// symbol is a way to write a currency.
type symbol struct {
	text  string
	codes []string // ISO 4217; none for a currency that is not in use
	// weak symbols are also common words or units: they count only beside a
	// number, or alone in a currency column.
	weak bool
	// stem symbols may carry an ending ("руб" in "рублей").
	stem bool
	// usual says that the first code is meant unless a hint says otherwise.
	usual bool
}

// symbolTable lists currencies as written, then the codes they may mean: '~'
// in front marks a weak symbol, '*' behind a stem, '!' behind the first code
// the usual meaning; '-' is a currency without a code in use. ISO codes themselves need no line. Signs after Unicode
// CLDR (currency symbols, narrow forms and variants); short words are common
// practice in shops, no source. That a bare £ is pound sterling and a bare руб
// the Russian rouble is CLDR's root locale.
const symbolTable = `
$ = USD CAD AUD NZD SGD HKD TWD MXN ARS CLP COP BRL
US$ = USD
US $ = USD
U.S.$ = USD
USD$ = USD
C$ = CAD NIO
CA$ = CAD
C $ = CAD
CAN$ = CAD
CDN$ = CAD
~CND = CAD
A$ = AUD
AU$ = AUD
AU $ = AUD
AUS$ = AUD
NZ$ = NZD
S$ = SGD
HK$ = HKD
NT$ = TWD
MX$ = MXN
R$ = BRL
J$ = JMD
G$ = GYD
GY$ = GYD
B$ = BND
BZ$ = BZD
TT$ = TTD
EC$ = XCD
FJ$ = FJD
N$ = NAD
RD$ = DOP
MOP$ = MOP
CUC$ = -
Z$ = ZWG
＄ = USD CAD AUD NZD SGD HKD TWD MXN ARS CLP COP BRL
﹩ = USD CAD AUD NZD SGD HKD TWD MXN ARS CLP COP BRL
Dollar* = USD CAD AUD NZD SGD HKD
US-Dollar = USD
US dollar* = USD
US Dollar* = USD
dollar* = USD CAD AUD NZD SGD HKD
dólar* = USD CAD AUD
доллар* = USD CAD AUD
美元 = USD
美金 = USD
€ = EUR
Euro* = EUR
euro* = EUR
EURO = EUR
евро = EUR
欧元 = EUR
£ = GBP! EGP LBP SYP SDG FKP GIP SHP
￡ = GBP! EGP LBP SYP SDG FKP GIP SHP
₤ = -
E£ = EGP
LE = EGP
ج.م = EGP
~stg = GBP
~pound* = GBP EGP LBP
英镑 = GBP
~GBp = -
~GBX = -
¥ = JPY CNY
￥ = CNY JPY
JP¥ = JPY
CN¥ = CNY
RMB = CNY
~yen = JPY
円 = JPY
日元 = JPY
~yuan = CNY
元 = CNY! TWD HKD
人民币 = CNY
圓 = TWD HKD JPY
kr = SEK NOK DKK ISK
kr. = DKK SEK NOK ISK
Kr = SEK NOK DKK ISK
Kr. = DKK SEK NOK ISK
zł = PLN
Zł = PLN
ZŁ = PLN
~zl = PLN
złot* = PLN
Kč = CZK
KČ = CZK
kč = CZK
~Ft = HUF
forint* = HUF
~lei = RON! MDL
~Lei = RON! MDL
~LEI = RON! MDL
~leu = RON! MDL
лв = BGN
лв. = BGN
руб* = RUB! BYN
руб. = RUB! BYN
Руб. = RUB! BYN
~р. = RUB! BYN
~р = RUB! BYN
~Р = RUB! BYN
~Р. = RUB! BYN
₽ = RUB
卢布 = RUB
грн = UAH
грн. = UAH
~hrn = UAH
₴ = UAH
гривен* = UAH
₸ = KZT
тенге = KZT
~тг = KZT
~сум = UZS
~сом = KGS
~som = KGS UZS
~с = TJS KGS
~so'm = UZS
~S' = UZS
₾ = GEL
~ლ = GEL
ლარი = GEL
₼ = AZN
~ден = MKD
~дин = RSD
~din = RSD
~din. = RSD
Dinara = RSD
динар* = RSD
~км = BAM
~KM = BAM
~kn = -
~Lek = ALL
~L = HNL
~Fr. = CHF
~SFr. = CHF
~sFr. = CHF
~Fr = CHF
₺ = TRY
~TL = TRY
₪ = ILS
~nis = ILS
~NIS = ILS
ש"ח = ILS
ש״ח = ILS
₹ = INR
र = INR
ரூ = INR
~Rs = INR PKR LKR NPR MUR SCR
~Rs. = INR PKR LKR NPR MUR SCR
₨ = INR PKR LKR NPR MUR SCR
~Rp = IDR
~Rp. = IDR
~RM = MYR
฿ = THB
บาท = THB
₫ = VND
~VNĐ = VND
~đ = VND
₩ = KRW
원 = KRW
₱ = PHP
₦ = NGN
₵ = GHS
GH₵ = GHS
~KSh = KES
~KShs = KES
~TSh = TZS
~USh = UGX
~R = ZAR
~FRw = RWF
~RF = RWF
R₣ = RWF
₡ = CRC
₲ = PYG
~Bs = VES BOB
~Bs. = VES BOB
~S/ = PEN
~S/. = PEN
~B/. = PAB
~Q = GTQ
~q = GTQ
~D = GMD
~Db = STN
~MK = MWK
~VT = VUV
~Vt = VUV
~DT = TND
~DH = MAD AED
~Dh = MAD AED
~Dhs = AED MAD
~LD = LRD
~KD = KWD
~BD = BHD
~ID = IQD
~JD = JOD
~Nfk = ERN
ናቕፋ = ERN
نافكا = ERN
~Ks = MMK
~kwz = AOA
~Kz = AOA
~Esc = CVE
؋ = AFN
৳ = BDT
﷼ = IRR OMR QAR SAR YER
ریال = IRR
ريال = SAR QAR OMR YER
تومان = -
ر.س = SAR
ر.ق = QAR
د.إ = AED
د.ك = KWD
.د.ب = BHD
ع.د = IQD
ج.س. = SDG
ل.س = SYP
ل.ل = LBP
ش.ج = ILS
ش.ص = ILS
دينار أردني = JOD
دينار = JOD KWD BHD IQD
AR$ = ARS
CLP$ = CLP
COP$ = COP
COL$ = COP
Mex$ = MXN
$MN = CUP
$b = BOB
$U = UYU
Bds$ = BBD
BD$ = BMD
CI$ = KYD
L$ = LRD
SI$ = SBD
SR$ = SRD
T$ = TOP
WS$ = WST
֏ = AMD
~Afl. = AWG
~Afl = AWG
~NAf = ANG
ƒ = AWG ANG
~Br = ETB BYN
~FBu = BIF
~Fdj = DJF
~FG = GNF
~FC = CDF
~CF = KMF
CFA = XOF XAF
FCFA = XAF XOF
F CFA = XAF XOF
CFP = XPF
៛ = KHR
₭ = LAK
₮ = MNT
~Nu. = BTN
~Ar = MGA
~MT = MZN
~MTn = MZN
~Rf = MVR
~Rf. = MVR
~UM = MRU
रू = NPR
रु = NPR INR
~RO = OMR
~QR = QAR
~SR = SAR SCR
~SRe = SCR
~YR = YER
~Le = SLE
~Sh = KES TZS UGX SOS
~Sh. = KES TZS UGX SOS
~So. = SOS
£E = EGP
£S = SYP
~LL = LBP
L.L. = LBP
~LS = SYP
~ZK = ZMW
~сўм = UZS
~Bs.F = -
Bs.S = VES
~Ptas = -
~DM = -
~Ls = -
~Lt = -
peso* = MXN ARS CLP COP PHP UYU
₶ = -
DEM = -
PTE = -
FRF = -
ITL = -
ESP = -
NLG = -
ATS = -
BEF = -
HRK = -
SKK = -
LTL = -
LVL = -
EEK = -
VEF = -
CUC = -
`

var symbolsByFirst = parseSymbols(symbolTable)

func parseSymbols(table string) map[rune][]symbol {
	byFirst := map[rune][]symbol{}
	for line := range strings.Lines(table) {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		written, codes, _ := strings.Cut(line, " = ")
		sym := symbol{text: written}
		sym.text, sym.weak = strings.CutPrefix(sym.text, "~")
		sym.text, sym.stem = strings.CutSuffix(sym.text, "*")
		codes, sym.usual = cutMark(codes)
		if codes != "-" {
			sym.codes = strings.Fields(codes)
		}
		first, _ := utf8.DecodeRuneInString(sym.text)
		byFirst[first] = append(byFirst[first], sym)
	}
	for _, list := range byFirst {
		slices.SortStableFunc(list, func(a, b symbol) int { return len(b.text) - len(a.text) })
	}
	return byFirst
}

// cutMark takes the mark of the usual meaning from a list of codes.
func cutMark(codes string) (plain string, usual bool) {
	plain = strings.Replace(codes, "!", "", 1)
	return plain, plain != codes
}

// countryTable gives the currency of countries (ISO 3166 alpha-2) in which a
// sign is used that other countries use too. Source: ISO 4217 list one.
const countryTable = "US USD, CA CAD, AU AUD, NZ NZD, SG SGD, HK HKD, TW TWD, MX MXN, AR ARS, CL CLP, CO COP, " +
	"BR BRL, GB GBP, EG EGP, LB LBP, SE SEK, NO NOK, DK DKK, IS ISK, JP JPY, CN CNY, RU RUB, BY BYN, RO RON, " +
	"MD MDL, IN INR, PK PKR, LK LKR, NP NPR, MU MUR, KG KGS, UZ UZS, TJ TJS, VE VES, BO BOB, MA MAD, AE AED, " +
	"KW KWD, BH BHD, JO JOD, IQ IQD, SA SAR, QA QAR, OM OMR, YE YER, IR IRR, PH PHP, UY UYU"

var currencyOfCountry = pairs(countryTable)

// currencyOfSoleCountry gives the currency of languages that name a country.
var currencyOfSoleCountry = pairs("ja JPY, sv SEK, da DKK, nb NOK, nn NOK, no NOK, is ISK, zh CNY, ru RUB, be BYN, ro RON, hi INR")

func pairs(table string) map[string]string {
	m := map[string]string{}
	for _, p := range strings.Split(table, ", ") {
		key, value, _ := strings.Cut(p, " ")
		m[key] = value
	}
	return m
}
