package sellers

import "strings"

// oneDigit, twoDigits and threeDigits are the country codes of ITU-T E.164 that
// are assigned to countries, written from memory.
const (
	oneDigit  = " 1 7 "
	twoDigits = " 20 27 30 31 32 33 34 36 39 40 41 43 44 45 46 47 48 49 51 52 53 54 55 56 57 58 60 61 62 63 64 65 66 81 82 84 86" +
		" 90 91 92 93 94 95 98 "
	threeDigits = " 211 212 213 216 218 220 221 222 223 224 225 226 227 228 229 230 231 232 233 234 235 236 237 238 239 240 241 242" +
		" 243 244 245 246 247 248 249 250 251 252 253 254 255 256 257 258 260 261 262 263 264 265 266 267 268 269 290 291 297" +
		" 298 299 350 351 352 353 354 355 356 357 358 359 370 371 372 373 374 375 376 377 378 380 381 382 383 385 386 387 389" +
		" 420 421 423 500 501 502 503 504 505 506 507 508 509 590 591 592 593 594 595 596 597 598 599 670 672 673 674 675 676" +
		" 677 678 679 680 681 682 683 685 686 687 688 689 690 691 692 800 808 850 852 853 855 856 880 886 960 961 962 963 964" +
		" 965 966 967 968 970 971 972 973 974 975 976 977 992 993 994 995 996 998 "
)

// callingCode gives the country code that international digits begin with.
func callingCode(digits string) (string, bool) {
	for n, codes := range []string{oneDigit, twoDigits, threeDigits} {
		if len(digits) > n+1 && strings.Contains(codes, " "+digits[:n+1]+" ") {
			return digits[:n+1], true
		}
	}
	return "", false
}

// plan is how a country writes national numbers.
type plan struct {
	code  string // country code
	trunk string // prefix that falls away in E.164; "" when there is none
}

// plans by ISO 3166 code, written from memory.
var plans = map[string]plan{
	"AT": {"43", "0"}, "AU": {"61", "0"}, "BE": {"32", "0"}, "BG": {"359", "0"}, "BR": {"55", "0"}, "BY": {"375", "80"},
	"CA": {"1", "1"}, "CH": {"41", "0"}, "CN": {"86", "0"}, "CZ": {"420", ""}, "DE": {"49", "0"}, "DK": {"45", ""},
	"EE": {"372", ""}, "ES": {"34", ""}, "FI": {"358", "0"}, "FR": {"33", "0"}, "GB": {"44", "0"}, "GR": {"30", ""},
	"HK": {"852", ""}, "HR": {"385", "0"}, "HU": {"36", "06"}, "IE": {"353", "0"}, "IN": {"91", "0"}, "IT": {"39", ""},
	"JP": {"81", "0"}, "KR": {"82", "0"}, "LT": {"370", "0"}, "LU": {"352", ""}, "LV": {"371", ""}, "MX": {"52", ""},
	"NL": {"31", "0"}, "NO": {"47", ""}, "NZ": {"64", "0"}, "PL": {"48", ""}, "PT": {"351", ""}, "RO": {"40", "0"},
	"RS": {"381", "0"}, "RU": {"7", "8"}, "SE": {"46", "0"}, "SI": {"386", "0"}, "SK": {"421", "0"}, "TR": {"90", "0"},
	"TW": {"886", "0"}, "UA": {"380", "0"}, "US": {"1", "1"}, "ZA": {"27", "0"},
}

// zeroTrunk are the country codes whose national numbers begin with a zero that
// falls away after the country code.
var zeroTrunk = func() map[string]bool {
	codes := map[string]bool{}
	for _, p := range plans {
		if p.trunk == "0" {
			codes[p.code] = true
		}
	}
	return codes
}()
