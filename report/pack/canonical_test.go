package pack

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"hash"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// reference finds outside data, which lies beside the project.
func reference(t *testing.T, name string) string {
	t.Helper()
	dir := filepath.Join("..", "..", "..", "shared", "reference", name)
	if _, err := os.Stat(dir); err != nil {
		absent(t, "the reference data ../shared/reference/"+name+" is not there")
	}
	return dir
}

// absent skips a test for want of a tool or of data, and fails where all of
// them are demanded.
func absent(t *testing.T, why string) {
	t.Helper()
	if os.Getenv("COUNTERFOIL_REQUIRE_TOOLS") != "" {
		t.Fatal(why)
	}
	t.Skip(why)
}

// The published vectors of RFC 8785's authors (cyberphone/json-canonicalization).
func TestCanonicalVectors(t *testing.T) {
	dir := reference(t, "jcs")
	inputs, err := filepath.Glob(filepath.Join(dir, "input", "*.json"))
	require.NoError(t, err)
	require.NotEmpty(t, inputs)
	for _, input := range inputs {
		name := filepath.Base(input)
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(input)
			require.NoError(t, err)
			got, err := Canonical(data)
			require.NoError(t, err)
			want, err := os.ReadFile(filepath.Join(dir, "output", name))
			require.NoError(t, err)
			assert.Equal(t, string(want), string(got))
			digits, err := os.ReadFile(filepath.Join(dir, "outhex", strings.TrimSuffix(name, ".json")+".txt"))
			require.NoError(t, err)
			assert.Equal(t, strings.Join(strings.Fields(string(digits)), ""), hex.EncodeToString(got))
		})
	}
}

// Appendix B of RFC 8785 gives numbers as IEEE 754 bits and as printed.
func TestCanonicalNumbers(t *testing.T) {
	for bits, want := range map[uint64]string{
		0x0000000000000000: "0", 0x8000000000000000: "0",
		0x0000000000000001: "5e-324", 0x8000000000000001: "-5e-324",
		0x7fefffffffffffff: "1.7976931348623157e+308", 0xffefffffffffffff: "-1.7976931348623157e+308",
		0x4340000000000000: "9007199254740992", 0xc340000000000000: "-9007199254740992",
		0x4430000000000000: "295147905179352830000",
		0x44b52d02c7e14af5: "9.999999999999997e+22", 0x44b52d02c7e14af6: "1e+23", 0x44b52d02c7e14af7: "1.0000000000000001e+23",
		0x444b1ae4d6e2ef4e: "999999999999999700000", 0x444b1ae4d6e2ef4f: "999999999999999900000", 0x444b1ae4d6e2ef50: "1e+21",
		0x3eb0c6f7a0b5ed8c: "9.999999999999997e-7", 0x3eb0c6f7a0b5ed8d: "0.000001",
		0x41b3de4355555553: "333333333.3333332", 0x41b3de4355555554: "333333333.33333325",
		0x41b3de4355555555: "333333333.3333333", 0x41b3de4355555556: "333333333.3333334", 0x41b3de4355555557: "333333333.33333343",
		0xbecbf647612f3696: "-0.0000033333333333333333", 0x43143ff3c1cb0959: "1424953923781206.2",
	} {
		assert.Equal(t, want, string(appendNumber(nil, math.Float64frombits(bits))), "%016x", bits)
	}
}

// The note on number generation beside the vectors publishes the SHA-256 of
// the first 1,000 to 100,000,000 numbers of a fixed sequence, as bits and as
// printed.
func TestCanonicalNumberSequence(t *testing.T) {
	dir := reference(t, "jcs")
	readme, err := os.ReadFile(filepath.Join(dir, "README.md"))
	require.NoError(t, err)
	source, err := os.ReadFile(filepath.Join(dir, "numgen.js"))
	require.NoError(t, err)
	published := map[int]string{}
	for _, m := range regexp.MustCompile(`\| ([0-9a-f]{64}) \| (\d+) `).FindAllStringSubmatch(string(readme), -1) {
		n, err := strconv.Atoi(m[2])
		require.NoError(t, err)
		published[n] = m[1]
	}
	require.Contains(t, published, 1000000)

	sum := sha256.New()
	numbers := newSequence(t, string(source))
	for n := 1; n <= 1000000; n++ {
		f := numbers()
		line := strconv.AppendUint(nil, math.Float64bits(f), 16)
		sum.Write(append(appendNumber(append(line, ','), f), '\n'))
		if want, ok := published[n]; ok {
			assert.Equal(t, want, sumOf(sum), "%d numbers", n)
		}
	}
}

func sumOf(h hash.Hash) string { return hex.EncodeToString(h.Sum(nil)) }

// newSequence gives the numbers of the note: those it lists, then 2,000 in
// series from the least normal one, then the words of a chain of SHA-256.
func newSequence(t *testing.T, source string) func() float64 {
	list, _, ok := strings.Cut(source, "])")
	require.True(t, ok)
	var bits []uint64
	for _, m := range regexp.MustCompile(`0x([0-9a-f]{16})n`).FindAllStringSubmatch(list, -1) {
		n, err := strconv.ParseUint(m[1], 16, 64)
		require.NoError(t, err)
		bits = append(bits, n)
	}
	for i := range uint64(2000) {
		bits = append(bits, 0x0010000000000000+i)
	}
	var block [32]byte
	chained := false
	return func() float64 {
		for {
			if len(bits) == 0 {
				chained = true
				block = sha256.Sum256(block[:])
				for i := 0; i < len(block); i += 8 {
					bits = append(bits, binary.LittleEndian.Uint64(block[i:]))
				}
			}
			f := math.Float64frombits(bits[0])
			bits = bits[1:]
			if !chained || f != 0 && !math.IsInf(f, 0) && !math.IsNaN(f) {
				return f
			}
		}
	}
}

func TestCanonicalRefuses(t *testing.T) {
	for data, want := range map[string]string{
		`{"a":1,"\u0061":2}`: `the name "a" stands twice`, `"\ud800"`: "half of a surrogate pair",
		`"\ud800\u0041"`: "half of a surrogate pair", "\"\xff\"": "not UTF-8", `1e400`: "beyond IEEE 754",
		`{`: "not JSON", ``: "not JSON", strings.Repeat("[", 600) + strings.Repeat("]", 600): "nested deeper than 500",
	} {
		_, err := Canonical([]byte(data))
		assert.ErrorContains(t, err, want, data)
	}
}

// What was brought into the canonical form stays as it is and says the same.
func FuzzCanonical(f *testing.F) {
	for _, s := range []string{`{"b":[1e-7,-0,1.50],"a":"\u00e9\n"}`, `"\ud83d\ude00/"`, `[]`, ` [ { } , null , true , false ] `, "\"\u2028\x7f\""} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		one, err := Canonical(data)
		if err != nil {
			return
		}
		two, err := Canonical(one)
		if err != nil || !bytes.Equal(one, two) {
			t.Fatalf("%q becomes %q: %v", one, two, err)
		}
		var a, b any
		if json.Unmarshal(data, &a) != nil || json.Unmarshal(one, &b) != nil {
			t.Fatalf("%q is not read", one)
		}
		assert.Equal(t, a, b)
	})
}
