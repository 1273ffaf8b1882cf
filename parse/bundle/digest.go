package bundle

import (
	"crypto/md5"
	"crypto/sha1"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/base32"
	"encoding/hex"
	"strings"
)

// checkDigests compares a record with the digest its header states (ISO 28500,
// 5.8 and 5.9). Writers disagree on whether a payload digest is of the body as
// sent or without its chunks; either is taken.
func checkDigests(h header, block, body []byte) string {
	if stated := h.get("warc-block-digest"); stated != "" {
		if !digestMatches(stated, block) {
			return "its bytes do not match the digest stated in the archive"
		}
		return ""
	}
	stated := h.get("warc-payload-digest")
	if stated == "" || digestMatches(stated, body) {
		return ""
	}
	if plain, _ := dechunk(body); digestMatches(stated, plain) {
		return ""
	}
	return "its bytes do not match the payload digest stated in the archive"
}

// digestMatches is also true for a digest of an unknown kind, which says
// nothing.
func digestMatches(stated string, data []byte) bool {
	algorithm, value, ok := strings.Cut(stated, ":")
	if !ok {
		return true
	}
	var sum []byte
	switch strings.ToLower(strings.ReplaceAll(algorithm, "-", "")) {
	case "sha1":
		s := sha1.Sum(data)
		sum = s[:]
	case "sha256":
		s := sha256.Sum256(data)
		sum = s[:]
	case "sha512":
		s := sha512.Sum512(data)
		sum = s[:]
	case "md5":
		s := md5.Sum(data)
		sum = s[:]
	default:
		return true
	}
	return strings.EqualFold(value, hex.EncodeToString(sum)) ||
		strings.EqualFold(strings.TrimRight(value, "="), strings.TrimRight(base32.StdEncoding.EncodeToString(sum), "="))
}
