package bundle

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"strings"
)

// transferDecode undoes a Content-Transfer-Encoding (RFC 2045, 6). Damage is
// stepped over and told in doubt.
func transferDecode(encoding string, body []byte) (data []byte, doubt string) {
	switch strings.ToLower(strings.TrimSpace(encoding)) {
	case "quoted-printable":
		return quotedPrintable(body)
	case "base64":
		return looseBase64(body)
	case "", "7bit", "8bit", "binary":
		return body, ""
	}
	return body, fmt.Sprintf("its encoding %q is not known; the bytes are left as they are", encoding)
}

// quotedPrintable decodes RFC 2045, 6.7. An equals sign without two hexadecimal
// digits stays as it is.
func quotedPrintable(body []byte) ([]byte, string) {
	out := make([]byte, 0, len(body))
	bad := 0
	for {
		i := bytes.IndexByte(body, '=')
		if i < 0 {
			out = append(out, body...)
			break
		}
		out = append(out, body[:i]...)
		body = body[i+1:]
		if n, ok := softBreak(body); ok {
			body = body[n:]
			continue
		}
		if len(body) >= 2 {
			if hi, lo := hexDigit(body[0]), hexDigit(body[1]); hi >= 0 && lo >= 0 {
				out = append(out, byte(hi<<4|lo))
				body = body[2:]
				continue
			}
		}
		out = append(out, '=')
		bad++
	}
	if bad > 0 {
		return out, fmt.Sprintf("%d damaged places in its quoted-printable text are left as they are", bad)
	}
	return out, ""
}

// softBreak gives the length of a line end, with blanks before it, that an
// equals sign cancels. The end of the data counts as one.
func softBreak(b []byte) (int, bool) {
	i := 0
	for i < len(b) && (b[i] == ' ' || b[i] == '\t') {
		i++
	}
	switch {
	case i == len(b):
		return i, true
	case b[i] == '\n':
		return i + 1, true
	case b[i] == '\r' && i+1 < len(b) && b[i+1] == '\n':
		return i + 2, true
	case b[i] == '\r' && i+1 == len(b):
		return i + 1, true
	}
	return 0, false
}

func hexDigit(c byte) int {
	switch {
	case c >= '0' && c <= '9':
		return int(c - '0')
	case c >= 'A' && c <= 'F':
		return int(c-'A') + 10
	case c >= 'a' && c <= 'f':
		return int(c-'a') + 10
	}
	return -1
}

// base64Letter marks what stands in base64 (1), blanks (2) and the rest (0).
var base64Letter = func() (t [256]byte) {
	for _, c := range "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/" {
		t[c] = 1
	}
	for _, c := range " \t\r\n" {
		t[c] = 2
	}
	return t
}()

// looseBase64 decodes RFC 2045, 6.8: characters outside the alphabet are
// stepped over, the first padding ends the data.
func looseBase64(body []byte) ([]byte, string) {
	letters := make([]byte, 0, len(body))
	foreign, padded := 0, false
	for i, c := range body {
		switch base64Letter[c] {
		case 1:
			letters = append(letters, c)
		case 0:
			if c == '=' && len(letters)%4 >= 2 {
				padded = true
			} else {
				foreign++
			}
		}
		if padded {
			if len(bytes.Trim(body[i:], "= \t\r\n")) > 0 {
				foreign++
			}
			break
		}
	}
	var doubts []string
	if foreign > 0 {
		doubts = append(doubts, "its base64 text has characters that do not belong there")
	}
	if n := len(letters) % 4; n == 1 || n > 0 && !padded {
		doubts = append(doubts, "its base64 text is cut off")
		if n == 1 {
			letters = letters[:len(letters)-1]
		}
	}
	out := make([]byte, base64.RawStdEncoding.DecodedLen(len(letters)))
	n, _ := base64.RawStdEncoding.Decode(out, letters)
	return out[:n], strings.Join(doubts, "; ")
}
