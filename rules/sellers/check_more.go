package sellers

import "strings"

// The check digits of national numbers with several forms: firms, and persons who
// trade under a number of their own. Written from memory and compared with the
// Debian package python3-stdnum. Of a person's number only the check digit is
// looked at, not the date of birth in it.

func checkBG(s string) bool {
	if len(s) == 9 {
		d := weighted(s, 1, 2, 3, 4, 5, 6, 7, 8) % 11
		if d == 10 {
			d = weighted(s, 3, 4, 5, 6, 7, 8, 9, 10) % 11
		}
		return d%10 == last(s)
	}
	return weighted(s, 2, 4, 8, 5, 10, 9, 7, 3, 6)%11%10 == last(s) || // citizens
		weighted(s, 21, 19, 17, 13, 11, 9, 7, 3, 1)%10 == last(s) || // foreigners
		(11-weighted(s, 4, 3, 2, 7, 6, 5, 4, 3, 2)%11)%11 == last(s) // others
}

func checkCY(s string) bool {
	sum := weighted(s[1:], 1, 0, 1, 0, 1, 0, 1)
	for i := 0; i < 8; i += 2 {
		sum += []int{1, 0, 5, 7, 9, 13, 15, 17, 19, 21}[s[i]-'0']
	}
	return byte('A'+sum%26) == s[8]
}

func checkCZ(s string) bool {
	switch {
	case len(s) == 8: // firms
		d := (11 - weighted(s, 8, 7, 6, 5, 4, 3, 2)%11) % 11
		if d == 0 {
			d = 1
		}
		return s[0] != '9' && d%10 == last(s)
	case len(s) == 9 && s[0] == '6':
		return (8-(10-weighted(s[1:], 8, 7, 6, 5, 4, 3, 2)%11+11)%11+10)%10 == last(s)
	case len(s) == 9: // persons born before 1954 have no check digit
		return number(s[:2]) <= 53
	}
	rest := number(s[:9]) % 11
	if year := number(s[:2]); rest == 10 && 54 <= year && year < 85 { // given out until 1985
		rest = 0
	}
	return rest == last(s)
}

func checkES(s string) bool {
	const letters = "TRWAGMYFPDXBNJZSQVHLCKE"
	first := strings.IndexByte("XYZ", s[0])
	switch {
	case isDigit(s[0]):
		return letters[number(s[:8])%23] == s[8]
	case first >= 0: // foreigners
		return letters[(first*10_000_000+number(s[1:8]))%23] == s[8]
	case strings.IndexByte("KLM", s[0]) >= 0:
		return letters[number(s[1:8])%23] == s[8]
	case strings.IndexByte("ABCDEFGHJNPQRSUVW", s[0]) < 0:
		return false
	}
	sum := 0
	for i := 1; i < 8; i++ {
		d := int(s[i] - '0')
		if i%2 == 1 {
			d = d*2/10 + d*2%10
		}
		sum += d
	}
	d := (10 - sum%10) % 10
	return s[8] == byte('0'+d) || s[8] == "JABCDEFGHI"[d]
}

func checkIE(s string) bool {
	const letters = "WABCDEFGHIJKLMNOPQRSTUV"
	digits, more, check := s[:7], s[8:], s[7]
	if !isDigit(s[1]) { // the older form
		digits, more, check = "0"+s[2:7]+s[:1], "", s[7]
	}
	sum := weighted(digits, 8, 7, 6, 5, 4, 3, 2)
	if more != "" {
		extra := strings.IndexByte(letters, more[0])
		if extra < 0 {
			return false
		}
		sum += 9 * extra
	}
	return letters[sum%23] == check
}

func checkLT(s string) bool {
	if s[len(s)-2] != '1' {
		return false
	}
	one, other := 0, 0
	for i := range len(s) - 1 {
		d := int(s[i] - '0')
		one, other = one+d*(1+i%9), other+d*(1+(i+2)%9)
	}
	if one%11 != 10 {
		return one%11 == last(s)
	}
	return other%11%10 == last(s)
}

func checkLV(s string) bool {
	if s[0] > '3' { // firms
		return weighted(s, 9, 1, 4, 8, 3, 10, 2, 5, 7, 6, 1)%11 == 3
	}
	if s[:2] == "32" { // persons from 2017 on have no check digit
		return true
	}
	return (1+weighted(s, 10, 5, 8, 4, 2, 1, 6, 3, 7, 9))%11%10 == last(s)
}

func checkMT(s string) bool {
	return s[0] != '0' && weighted(s, 3, 4, 6, 7, 8, 9, 10, 1)%37 == 0
}

func checkRO(s string) bool {
	s = strings.Repeat("0", 10-len(s)) + s
	return 10*weighted(s, 7, 5, 3, 2, 1, 7, 5, 3, 2)%11%10 == last(s)
}
