package guess

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Bytes that are as likely in one encoding as in another.
func TestEqualGuessesHaveOneOrder(t *testing.T) {
	for _, data := range []string{"\xe0Y\x9f", " ,\xe4Y\xff", "\x82\xa0\xa4\xa2", ""} {
		first := Text([]byte(data))
		markup := HTML([]byte(data))
		for range 200 {
			assert.Equal(t, first, Text([]byte(data)))
			assert.Equal(t, markup, HTML([]byte(data)))
		}
	}
}
