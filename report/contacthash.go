package report

import (
	"bytes"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"io"

	"counterfoil/parse/listing"
	"counterfoil/rules"
	"counterfoil/rules/sellers"
)

// leastKey is the length in bytes from which a key cannot be found by trying:
// that of the hash (RFC 2104, section 3).
const leastKey = sha256.Size

// ReadContactKey takes a file as the key of [ContactHash], every byte of it.
func ReadContactKey(name string, data []byte) ([]byte, error) {
	if len(data) < leastKey {
		return nil, fmt.Errorf("%s: a key of %d bytes can be found by trying; write %d random bytes or more into the file, such as with 'head -c %d /dev/urandom'", name, len(data), leastKey, leastKey)
	}
	return data, nil
}

// KeyOf makes a key of all that the listings say, for runs to which the user gives
// none. All telephone numbers can be tried against a hash without a key, in
// minutes; against this one only by whoever has the captures, which show the
// contacts anyway. Another batch has another key.
func KeyOf(f *rules.Facts) []byte {
	h := sha256.New()
	io.WriteString(h, "contacts of a batch\x00")
	_ = inPieces(h, len(f.Listings), keyPiece, func(text *bytes.Buffer, from, to int) error { // none fails
		text.Write(sumOf(f.Listings[from:to]))
		return nil
	})
	return h.Sum(nil)
}

// keyPiece is how many listings are hashed as one; keys depend on it.
const keyPiece = 256

// sumOf hashes the texts of listings as they stand, each with its length, so that
// no two lists of texts are one.
func sumOf(list []*listing.Listing) []byte {
	h := sha256.New()
	var text []byte
	for _, l := range list {
		text = binary.BigEndian.AppendUint64(text[:0], uint64(l.Len()))
		for _, n := range fieldNames {
			if f, ok := l.Get(n); ok {
				text = appendText(appendText(text, n.String()), f.Raw)
			}
		}
		h.Write(text)
	}
	return h.Sum(nil)
}

var fieldNames = listing.Names()

func appendText(to []byte, s string) []byte {
	return append(binary.BigEndian.AppendUint64(to, uint64(len(s))), s...)
}

// ContactHash stands for a contact where programs compare contacts: the first
// half of the HMAC-SHA256 (RFC 2104) of kind, zero byte and canonical form under
// the key, in hex. Whoever has the key can test for a contact he knows, so that
// it stays personal data.
func ContactHash(key []byte, kind sellers.Kind, canonical string) string {
	h := hmac.New(sha256.New, key)
	io.WriteString(h, string(kind)+"\x00"+canonical)
	return hex.EncodeToString(h.Sum(nil)[:16])
}

// hashing writes what stands in a contact's place in NDJSON: its kind and the
// first half of its hash, "[phone 0f3a...]".
func hashing(key []byte) func(sellers.Kind, string) string {
	return func(kind sellers.Kind, canonical string) string {
		return "[" + string(kind) + " " + ContactHash(key, kind, canonical)[:16] + "]"
	}
}
