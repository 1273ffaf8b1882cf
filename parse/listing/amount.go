package listing

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Amount is a sum of money in minor units of an ISO 4217 currency: 31240 EUR
// is 312.40 euro, 312 JPY is 312 yen.
type Amount struct {
	Minor    int64
	Currency string
}

// String gives the decimal number without the currency: "312.40".
func (a Amount) String() string {
	digits, _ := MinorUnits(a.Currency)
	sign, n := "", a.Minor
	if n < 0 {
		sign, n = "-", -n
	}
	if digits == 0 {
		return sign + strconv.FormatInt(n, 10)
	}
	text := strconv.FormatInt(n, 10)
	if len(text) <= digits {
		text = strings.Repeat("0", digits+1-len(text)) + text
	}
	cut := len(text) - digits
	return sign + text[:cut] + "." + text[cut:]
}

// Float gives the amount in major units, for statistics only.
func (a Amount) Float() float64 {
	digits, _ := MinorUnits(a.Currency)
	return float64(a.Minor) / math.Pow10(digits)
}

// AmountOf rounds x, in major units, half away from zero to the currency's
// minor unit. It fails when x is not finite or too large for 18 digits.
func AmountOf(x float64, currency string) (Amount, error) {
	digits, ok := MinorUnits(currency)
	if !ok {
		return Amount{}, fmt.Errorf("%q is not an ISO 4217 currency code", currency)
	}
	m := math.Round(x * math.Pow10(digits))
	if math.IsNaN(m) || math.Abs(m) > 1e17 {
		return Amount{}, fmt.Errorf("%v is not a possible amount", x)
	}
	return Amount{Minor: int64(m), Currency: currency}, nil
}

// ParseAmount reads a normalised decimal number ("312.40", "-5", "7.125"): no
// grouping, full stop as decimal mark, no exponent. More decimals than the
// currency has are rounded half away from zero.
func ParseAmount(s, currency string) (Amount, error) {
	digits, ok := MinorUnits(currency)
	if !ok {
		return Amount{}, fmt.Errorf("%q is not an ISO 4217 currency code", currency)
	}
	body, negative := strings.CutPrefix(s, "-")
	whole, fraction, hasPoint := strings.Cut(body, ".")
	if whole == "" || (hasPoint && fraction == "") || !onlyDigits(whole) || !onlyDigits(fraction) || len(whole) > 15 {
		return Amount{}, fmt.Errorf("%q is not a plain decimal number", s)
	}
	roundUp := len(fraction) > digits && fraction[digits] >= '5'
	if len(fraction) > digits {
		fraction = fraction[:digits]
	}
	fraction += strings.Repeat("0", digits-len(fraction))
	n, err := strconv.ParseInt(whole+fraction, 10, 64)
	if err != nil {
		return Amount{}, fmt.Errorf("%q is too large for an amount", s)
	}
	if roundUp {
		n++
	}
	if negative {
		n = -n
	}
	return Amount{Minor: n, Currency: currency}, nil
}

func onlyDigits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return true
}

// MinorUnits gives the number of decimals of an ISO 4217 currency and whether
// the code is one of the standard's list of currencies in use.
func MinorUnits(code string) (digits int, ok bool) {
	digits, ok = minorUnits[code]
	if !ok {
		return 2, false
	}
	return digits, true
}

var minorUnits = func() map[string]int {
	units := map[string]int{}
	for digits, codes := range map[int]string{
		0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
		2: twoDecimals,
		3: "BHD IQD JOD KWD LYD OMR TND",
		4: "CLF UYW",
	} {
		for code := range strings.FieldsSeq(codes) {
			units[code] = digits
		}
	}
	return units
}()

// twoDecimals lists the ISO 4217 currencies with two decimals (list one; the
// amendments up to and including the Zimbabwe gold of 2024).
const twoDecimals = "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BOV " +
	"BRL BSD BTN BWP BYN BZD CAD CDF CHE CHF CHW CNY COP COU CRC CUC CUP CVE CZK DKK DOP DZD EGP " +
	"ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HRK HTG HUF IDR ILS INR IRR JMD KES " +
	"KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV " +
	"MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK " +
	"SGD SHP SLE SLL SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD USN UYU " +
	"UZS VED VES WST XCD YER ZAR ZMW ZWG ZWL"
