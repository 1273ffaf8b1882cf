package listing

// IsGTIN tells whether a text is a GTIN-8, -12, -13 or -14 with the right check
// digit: from the right, the digits count 1, 3, 1, 3 and so on, and their sum is a
// multiple of ten (GS1 General Specifications, section 7.9).
func IsGTIN(s string) bool {
	switch len(s) {
	case 8, 12, 13, 14:
	default:
		return false
	}
	sum := 0
	for i := range len(s) {
		d := int(s[i]) - '0'
		if d < 0 || d > 9 {
			return false
		}
		if (len(s)-i)%2 == 0 {
			d *= 3
		}
		sum += d
	}
	return sum%10 == 0
}
