package until

import (
	"bytes"
	"context"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What was read and written before the end stays; after it nothing moves, and
// the error is that of the context.
func TestNothingMovesAfterTheEnd(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	in := strings.NewReader("before, after")
	var out bytes.Buffer
	_, err := io.CopyN(Writer(ctx, &out), Reader(ctx, in), 6)
	require.NoError(t, err)
	cancel()
	n, err := Reader(ctx, in).Read(make([]byte, 9))
	assert.Zero(t, n)
	assert.ErrorIs(t, err, context.Canceled)
	n, err = Writer(ctx, &out).Write([]byte("after"))
	assert.Zero(t, n)
	assert.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, "before", out.String())
}
