package bundle

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The digests are those of "abc" in FIPS 180-4's examples and RFC 1321, A.5;
// base32 forms by `printf abc | sha1sum | xxd -r -p | base32`.
func TestDigestMatches(t *testing.T) {
	for stated, want := range map[string]bool{
		"sha1:a9993e364706816aba3e25717850c26c9cd0d89d":                            true,
		"SHA1:VGMT4NSHA2AWVOR6EVYXQUGCNSONBWE5":                                    true,
		"sha1:vgmt4nsha2awvor6evyxqugcnsonbwe5":                                    true,
		"sha-256:ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad": true,
		"sha256:BA7816BF8F01CFEA414140DE5DAE2223B00361A396177A9CB410FF61F20015AD":  true,
		"md5:900150983cd24fb0d6963f7d28e17f72":                                     true,
		"sha512:ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f": true,
		"sha1:a9993e364706816aba3e25717850c26c9cd0d89e": false,
		"sha256:VGMT4NSHA2AWVOR6EVYXQUGCNSONBWE5":       false,
		"own:123": true,
		"123":     true,
	} {
		assert.Equal(t, want, digestMatches(stated, []byte("abc")), stated)
	}
}
