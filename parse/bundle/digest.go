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

// checkDigests compares a record with the digests its header states (ISO 28500,
// 5.8 and 5.9). Writers disagree on whether a payload digest is of the body as
// sent or without its chunks, and some change the HTTP header after the block
// digest was made: one digest that fits is enough.
func checkDigests(h header, block, body []byte) string {
	blockDigest, payloadDigest := h.get("warc-block-digest"), h.get("warc-payload-digest")
	switch {
	case blockDigest == "" && payloadDigest == "",
		blockDigest != "" && digestMatches(blockDigest, block),
		payloadDigest != "" && digestMatches(payloadDigest, body):
		return ""
	}
	if plain, _ := dechunk(body); payloadDigest != "" && digestMatches(payloadDigest, plain) {
		return ""
	}
	return "its bytes do not match the digest stated in the archive"
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
