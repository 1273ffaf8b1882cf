package parse

import (
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"counterfoil/parse/listing"
)

// memory is a PageStore.
type memory struct {
	mu       sync.Mutex
	m        map[string][]byte
	hit, put int
}

func (s *memory) Get(name string) ([]byte, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	v, ok := s.m[name]
	if ok {
		s.hit++
	}
	return v, ok
}

func (s *memory) Put(name string, value []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.put++
	s.m[name] = value
}

func readKept(t *testing.T, kept PageStore, inputs ...string) *Batch {
	t.Helper()
	b, err := Read(context.Background(), inputs, Options{Kept: kept})
	require.NoError(t, err)
	t.Cleanup(b.Close)
	return b
}

// A reading with the store is the reading without it.
func TestKeptPagesAreReadTheSame(t *testing.T) {
	inputs := []string{"../fixtures/demo", "../fixtures/captures"}
	same := func(want, got *Batch) {
		t.Helper()
		assert.Equal(t, want.Listings, got.Listings)
		assert.Equal(t, want.Problems, got.Problems)
		assert.Equal(t, want.Captures, got.Captures)
	}
	want := readKept(t, nil, inputs...)
	store := &memory{m: map[string][]byte{}}
	same(want, readKept(t, store, inputs...))
	stored := store.put
	require.Greater(t, stored, 10)
	require.Zero(t, store.hit)
	same(want, readKept(t, store, inputs...))
	assert.Equal(t, stored, store.hit)
	assert.Equal(t, stored, store.put, "nothing is read anew")
	for name, v := range store.m {
		store.m[name] = v[:len(v)/2]
	}
	same(want, readKept(t, store, inputs...))
	assert.Equal(t, 2*stored, store.put, "what is damaged is read anew")
}

// A page whose photos are others now, or gone, or were not there before, is read
// anew.
func TestKeptPageFollowsItsFiles(t *testing.T) {
	picture := photograph(1)
	files(t, map[string]string{
		"in/a.html":        page("1", "a_files/1.jpg", "a_files/2.jpg"),
		"in/a_files/1.jpg": picture,
	})
	store := &memory{m: map[string][]byte{}}
	for name, change := range map[string]func() error{
		"nothing": func() error { return nil },
		"another": func() error { return os.WriteFile("in/a_files/1.jpg", []byte(photograph(2)), 0o666) },
		"new":     func() error { return os.WriteFile("in/a_files/2.jpg", []byte(picture), 0o666) },
		"damaged": func() error { return os.WriteFile("in/a_files/2.jpg", []byte(picture[:100]), 0o666) },
		"gone":    func() error { return os.Remove("in/a_files/1.jpg") },
		"moved":   func() error { return os.Rename("in/a.html", "in/a.htm") },
	} {
		require.NoError(t, change(), name)
		for range 2 {
			want, got := readKept(t, nil, "in"), readKept(t, store, "in")
			assert.Equal(t, want.Listings, got.Listings, name)
			assert.Equal(t, want.Problems, got.Problems, name)
			assert.Equal(t, want.Captures, got.Captures, name)
		}
		// Back to the start: the order of the changes is any.
		require.NoError(t, os.WriteFile("in/a_files/1.jpg", []byte(picture), 0o666))
		_ = os.Remove("in/a_files/2.jpg")
		_ = os.Rename("in/a.htm", "in/a.html")
	}
	assert.Greater(t, store.hit, 6)
}

// always is a PageStore that knows every page.
type always []byte

func (s always) Get(string) ([]byte, bool) { return s, true }
func (s always) Put(string, []byte)        {}

// Whatever lies in the store, the page gives listings that can be printed, or is
// read anew.
func FuzzKept(f *testing.F) {
	dir := f.TempDir()
	require.NoError(f, os.WriteFile(filepath.Join(dir, "a.html"), []byte(page("1", "a_files/1.jpg", "a_files/2.jpg")), 0o666))
	require.NoError(f, os.Mkdir(filepath.Join(dir, "a_files"), 0o777))
	require.NoError(f, os.WriteFile(filepath.Join(dir, "a_files", "1.jpg"), []byte(photograph(1)), 0o666))
	read := func(t testing.TB, kept PageStore) *Batch {
		b, err := Read(context.Background(), []string{dir}, Options{Kept: kept})
		require.NoError(t, err)
		b.Close()
		return b
	}
	store := &memory{m: map[string][]byte{}}
	want := read(f, store)
	require.NotEmpty(f, want.Listings)
	for _, v := range store.m {
		f.Add(v)
		f.Add(v[:len(v)/2])
	}
	f.Add([]byte(`{"Listings":[{}]}`))
	f.Add([]byte(`{"Listings":[{"Listing":{},"Fields":[{"Name":200,"Value":"x"}]}]}`))
	f.Add([]byte(`{"Listings":[{"Listing":{"Photos":[{"Detail":null}]},"Fields":[{"Name":3},{"Name":2}]}]}`))
	f.Add([]byte(`{"Opened":[{"Ref":"../a.html"}],"Problems":[{}]}`))
	f.Fuzz(func(t *testing.T, stored []byte) {
		b := read(t, always(stored))
		var k keptPage
		if json.Unmarshal(stored, &k) != nil || !k.sound() {
			assert.Equal(t, want.Listings, b.Listings)
			assert.Equal(t, want.Problems, b.Problems)
		}
		for _, l := range b.Listings {
			assert.NoError(t, json.NewEncoder(io.Discard).Encode(listing.ToLine(l)))
		}
	})
}
