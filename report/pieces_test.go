package report

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestInPieces(t *testing.T) {
	for _, n := range []int{0, 1, pieceSize, 1000} {
		var got, want bytes.Buffer
		for i := range n {
			fmt.Fprintln(&want, i)
		}
		assert.NoError(t, inPieces(&got, n, pieceSize, func(text *bytes.Buffer, from, to int) error {
			for i := from; i < to; i++ {
				fmt.Fprintln(text, i)
			}
			return nil
		}))
		assert.Equal(t, want.String(), got.String())
	}
}

func TestInPiecesEndsWithTheFirstError(t *testing.T) {
	var got strings.Builder
	err := inPieces(&got, 10*pieceSize, pieceSize, func(text *bytes.Buffer, from, _ int) error {
		if from >= 3*pieceSize {
			return fmt.Errorf("at %d", from)
		}
		text.WriteString("x")
		return nil
	})
	assert.EqualError(t, err, fmt.Sprintf("at %d", 3*pieceSize))
	assert.Equal(t, "xxx", got.String())

	full := errors.New("full")
	assert.Equal(t, full, inPieces(failing{full}, pieceSize, pieceSize, func(text *bytes.Buffer, _, _ int) error { text.WriteString("x"); return nil }))
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }
