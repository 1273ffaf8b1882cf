// Package checkdigit holds published check digit systems. Each function takes a
// number without separators and reports whether its last digits are right.
package checkdigit

// Mod97 is ISO 7064 MOD 97-10 over digits and letters, A as 10 to Z as 35.
func Mod97(s string) bool {
	m := 0
	for i := range len(s) {
		switch c := s[i]; {
		case '0' <= c && c <= '9':
			m = (m*10 + int(c-'0')) % 97
		case 'A' <= c && c <= 'Z':
			m = (m*100 + int(c-'A') + 10) % 97
		default:
			return false
		}
	}
	return m == 1
}

// Mod11and10 is ISO 7064 MOD 11,10.
func Mod11and10(s string) bool {
	if !digits(s) {
		return false
	}
	p := 10
	for i := range len(s) - 1 {
		p = (p + int(s[i]-'0')) % 10
		if p == 0 {
			p = 10
		}
		p = p * 2 % 11
	}
	return (p+int(s[len(s)-1]-'0'))%10 == 1
}

// Luhn is the formula of ISO/IEC 7812-1, annex B.
func Luhn(s string) bool {
	if !digits(s) {
		return false
	}
	sum := 0
	for i := range len(s) {
		d := int(s[len(s)-1-i] - '0')
		if i%2 == 1 {
			if d *= 2; d > 9 {
				d -= 9
			}
		}
		sum += d
	}
	return sum%10 == 0
}

func digits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return s != ""
}
