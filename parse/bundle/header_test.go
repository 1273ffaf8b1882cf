package bundle

import (
	"bufio"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestReadHeader(t *testing.T) {
	for _, tc := range []struct {
		name, in      string
		bodyMayFollow bool
		want          header
		rest          string
		err           error
	}{
		{"crlf", "A: 1\r\nb:2\r\n\r\nbody", false, header{{"a", "1"}, {"b", "2"}}, "body", nil},
		{"lf", "A: 1\n\nbody", false, header{{"a", "1"}}, "body", nil},
		{"folded", "A: 1\n 2\n\t3\nB: 4\n\n", false, header{{"a", "1 2 3"}, {"b", "4"}}, "", nil},
		{"folded first", " x\nA: 1\n\n", false, header{{"a", "1"}}, "", nil},
		{"empty value", "A:\n\n", false, header{{"a", ""}}, "", nil},
		{"odd line", "A: 1\nnot a field\nB: 2\n\nbody", false, header{{"a", "1"}, {"b", "2"}}, "body", nil},
		{"odd line begins the body", "A: 1\nnot a field\n", true, header{{"a", "1"}}, "not a field\n", nil},
		{"no header", "\nbody", true, nil, "body", nil},
		{"early end", "A: 1\nB: 2", false, header{{"a", "1"}, {"b", "2"}}, "", io.EOF},
		{"endless", strings.Repeat("A: 1\n", 30), false, nil, "", errHeaderSize},
		{"endless line", "A: " + strings.Repeat("1", 200), false, nil, "", errHeaderSize},
	} {
		t.Run(tc.name, func(t *testing.T) {
			br := bufio.NewReader(strings.NewReader(tc.in))
			h, used, err := readHeader(br, 100, tc.bodyMayFollow)
			assert.Equal(t, tc.err, err)
			if tc.err == errHeaderSize {
				return
			}
			rest, _ := io.ReadAll(br)
			assert.Equal(t, tc.want, h)
			assert.Equal(t, tc.rest, string(rest))
			assert.Equal(t, len(tc.in)-len(tc.rest), int(used))
		})
	}
}

func TestMediaType(t *testing.T) {
	for in, want := range map[string][2]string{
		`multipart/related; boundary="a b"`:       {"multipart/related", "a b"},
		`Multipart/Related; boundary=a:b;`:        {"multipart/related", "a:b"}, // unquoted, against RFC 2045
		`multipart/related; ; boundary=a; =x; y=`: {"multipart/related", "a"},
		``: {"", ""},
	} {
		kind, params := header{{"content-type", in}}.mediaType()
		assert.Equal(t, want, [2]string{kind, params["boundary"]}, in)
	}
}

// A header of very many folded lines takes time in proportion to its length.
func TestFoldedHeaderIsLinear(t *testing.T) {
	in := "A: 1\n" + strings.Repeat(" x\n", 1<<20) + "\n"
	h, used, err := readHeader(bufio.NewReader(strings.NewReader(in)), 1<<30, false)
	assert.NoError(t, err)
	assert.Equal(t, len(in), int(used))
	assert.Len(t, h.get("a"), 1+2<<20)
}
