package sellers

import (
	"strings"

	"counterfoil/rules/checkdigit"
)

// weighted is the sum of the leading digits, each times its weight.
func weighted(s string, weights ...int) int {
	sum := 0
	for i, w := range weights {
		sum += w * int(s[i]-'0')
	}
	return sum
}

func number(s string) int {
	n := 0
	for i := range len(s) {
		n = n*10 + int(s[i]-'0')
	}
	return n
}

func last(s string) int { return int(s[len(s)-1] - '0') }

// The check digits of national numbers, as the tax authorities describe them;
// written from memory and compared with the Debian package python3-stdnum.
func checkAT(s string) bool { // U and 8 digits
	s, sum := s[1:], 4
	for i := range 7 {
		d := int(s[i] - '0')
		if i%2 == 1 {
			d = d/5 + d*2%10
		}
		sum += d
	}
	return (10-sum%10)%10 == last(s)
}

func checkBE(s string) bool { return 97-number(s[:8])%97 == number(s[8:]) }

func checkDK(s string) bool { return weighted(s, 2, 7, 6, 5, 4, 3, 2, 1)%11 == 0 && s[0] != '0' }

func checkEE(s string) bool { return weighted(s, 3, 7, 1, 3, 7, 1, 3, 7, 1)%10 == 0 }

func checkEL(s string) bool { return weighted(s, 256, 128, 64, 32, 16, 8, 4, 2)%11%10 == last(s) }

func checkFI(s string) bool { return weighted(s, 7, 9, 10, 5, 8, 4, 2, 1)%11 == 0 }

func checkFR(s string) bool { // two characters and the SIREN
	siren := s[2:]
	if !checkdigit.Luhn(siren) {
		return false
	}
	return !isDigit(s[0]) || !isDigit(s[1]) || (12+3*(number(siren)%97))%97 == number(s[:2])
}

func checkGB(s string) bool {
	m := (weighted(s, 8, 7, 6, 5, 4, 3, 2) + number(s[7:9])) % 97
	return m == 0 || s[0] != '0' && (m == 42 || m == 55)
}

func checkHU(s string) bool { return weighted(s, 9, 7, 3, 1, 9, 7, 3, 1)%10 == 0 }

func checkLU(s string) bool { return number(s[:6])%89 == number(s[6:]) }

func checkNL(s string) bool { // nine digits, B, two digits
	return checkdigit.Mod97("NL"+s) || weighted(s, 9, 8, 7, 6, 5, 4, 3, 2)%11 == int(s[8]-'0')
}

func checkPL(s string) bool { return weighted(s, 6, 5, 7, 2, 3, 4, 5, 6, 7)%11 == last(s) }

func checkPT(s string) bool { return (11-weighted(s, 9, 8, 7, 6, 5, 4, 3, 2)%11)%11%10 == last(s) }

func checkSE(s string) bool { return checkdigit.Luhn(s[:10]) }

func checkSI(s string) bool {
	d := 11 - weighted(s, 8, 7, 6, 5, 4, 3, 2)%11
	return d != 11 && d%10 == last(s)
}

func checkSK(s string) bool { return number(s)%11 == 0 }

// Company registers.
func checkREGON(s string) bool { return weighted(s, 8, 9, 2, 3, 4, 5, 6, 7)%11%10 == last(s) }

func checkOGRN(s string) bool {
	if len(s) == 15 {
		return number(s[:14])%13%10 == last(s)
	}
	return number(s[:12])%11%10 == last(s)
}

func checkINN(s string) bool {
	if len(s) == 10 {
		return weighted(s, 2, 4, 10, 3, 5, 9, 4, 6, 8)%11%10 == last(s)
	}
	return weighted(s, 7, 2, 4, 10, 3, 5, 9, 4, 6, 8)%11%10 == int(s[10]-'0') &&
		weighted(s, 3, 7, 2, 4, 10, 3, 5, 9, 4, 6, 8)%11%10 == last(s)
}

// checkUSCC is the unified social credit code of GB 32100-2015: MOD 31 over 31
// characters, with weights 3^i mod 31.
func checkUSCC(s string) bool {
	const alphabet = "0123456789ABCDEFGHJKLMNPQRTUWXY"
	sum, weight := 0, 1
	for i := range 17 {
		v := strings.IndexByte(alphabet, s[i])
		if v < 0 {
			return false
		}
		sum += v * weight
		weight = weight * 3 % 31
	}
	return alphabet[(31-sum%31)%31] == s[17]
}
