package photogroup

import (
	"fmt"
	"maps"
	"math/bits"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBuildGroupsCopiesAndMirrors(t *testing.T) {
	photos := []Photo{
		{Fingerprint: 0xFFFF, Mirror: 0xFFFF0000, Printed: true, SHA256: "a", Seller: "s1", Part: "p"},
		{Fingerprint: 0xFFFF << 32, Mirror: 0xFFFF << 48, Printed: true, SHA256: "b", Seller: "s2", Part: "p"},
		{Fingerprint: 0xFFFF0000, Mirror: 0xFFFF, Printed: true, SHA256: "c", Seller: "s2", Part: "q"},
		{Fingerprint: 0xFFFE, Mirror: 0xFFFF0000, Printed: true, SHA256: "d", Seller: "s1", Part: "p"},
		{Fingerprint: 0xFFFF, Mirror: 0xFFFF0000, Printed: true, SHA256: "a", Seller: "s3", Part: "p"},
		{SHA256: "flat"}, {SHA256: "flat"}, {SHA256: "other"}, {}, {},
	}
	x := Build(photos, Options{})
	require.Len(t, x.Groups(), 2)
	assert.Equal(t, Group{
		Members: []Member{{Photo: 0, SameBytes: true}, {Photo: 2, Mirrored: true}, {Photo: 4, SameBytes: true},
			{Photo: 3, Distance: 1}},
		Sellers: []string{"s1", "s2", "s3"}, Parts: []string{"p", "q"}, Printed: true,
	}, x.Groups()[0])
	assert.Equal(t, []Member{{Photo: 5, SameBytes: true}, {Photo: 6, SameBytes: true}}, x.Groups()[1].Members)
	for _, alone := range []int{1, 7, 8, 9, -1, 10} {
		assert.Nil(t, x.Of(alone), alone)
	}
	assert.Same(t, &x.Groups()[0], x.Of(2))
	assert.Empty(t, Build(nil, Options{}).Groups())
}

// TestChainIsNotOneGroup lays prints in a row, each a step of 8 bits from the
// last: the ends are 32 bits apart and must not meet.
func TestChainIsNotOneGroup(t *testing.T) {
	var photos []Photo
	for i := range 5 {
		photos = append(photos, Photo{Fingerprint: 1<<(8*i) - 1, Mirror: ^uint64(0), Printed: true})
	}
	x := Build(photos, Options{Bound: 8})
	for _, g := range x.Groups() {
		for _, m := range g.Members {
			d := bits.OnesCount64(photos[g.Members[0].Photo].Fingerprint ^ photos[m.Photo].Fingerprint)
			assert.LessOrEqual(t, d, 8)
			assert.Equal(t, d, m.Distance)
		}
	}
	assert.NotSame(t, x.Of(0), x.Of(4))
}

// TestSearchIsExact compares the search with a comparison of all pairs.
func TestSearchIsExact(t *testing.T) {
	photos := randomPhotos(1500)
	prints, _, _ := distinct(photos)
	for bound := range MaxBound + 1 {
		s := newSearcher(prints, bound)
		rank, _ := s.rank()
		for i := range prints {
			var want, got []int
			for j := range prints {
				if bits.OnesCount64(prints[i].print^prints[j].print) <= bound || bits.OnesCount64(prints[i].print^prints[j].mirror) <= bound {
					want = append(want, j)
				}
			}
			s.near(prints[i].print, func(j int32) { got = append(got, int(j)) })
			slices.Sort(got)
			require.Equal(t, want, slices.Compact(got), "bound %d", bound)
			require.Equal(t, len(want) > 1, rank[i] > 0, "bound %d", bound)
		}
	}
}

// meetings is in how many of the search's chunks two fingerprints differ by no more
// than they may: four chunks share out the bound and one more, as evenly as it goes,
// and those with more are wider.
func meetings(a, b uint64, bound int) (n int) {
	shift := 0
	for c := range 4 {
		share, width := (bound+1)/4, 16-(bound+1)%4
		if c < (bound+1)%4 {
			share, width = share+1, width+4
		}
		if bits.OnesCount64((a^b)>>shift&(1<<width-1)) < share {
			n++
		}
		shift += width
	}
	return n
}

// The ranks are those of the definition, print by print: how often another print,
// or any mirror image, lies within the bound and within what a chunk may differ.
func TestRanksAreExact(t *testing.T) {
	prints, _, _ := distinct(append(randomPhotos(1500), Photo{Fingerprint: 7, Mirror: 7, Printed: true}, Photo{Fingerprint: 7, Mirror: 6, Printed: true}))
	for _, bound := range []int{2, 8, DefaultBound, MaxBound} {
		s := newSearcher(prints, bound)
		want := make([]int32, len(prints))
		met := map[int32]bool{}
		for i, a := range prints {
			for j, b := range prints {
				for k, other := range []uint64{b.print, b.mirror} {
					if k == 0 && i == j || bits.OnesCount64(a.print^other) > bound {
						continue
					}
					if n := meetings(a.print, other, bound); n > 0 {
						want[i] += int32(n)
						met[int32(i)], met[int32(j)] = true, true
					}
				}
			}
		}
		rank, near := s.rank()
		assert.Equal(t, want, rank, bound)
		assert.Equal(t, slices.Sorted(maps.Keys(met)), near, bound)
	}
}

func TestBuildIsTheSameEachTime(t *testing.T) {
	photos := randomPhotos(3000)
	assert.Equal(t, Build(photos, Options{}), Build(photos, Options{}))
}

func TestCatalogue(t *testing.T) {
	for name, tt := range map[string]struct {
		using, others int
		want          bool
	}{
		"four of sixteen sellers":   {4, 12, true},
		"four of seventeen sellers": {4, 13, false},
		"all three sellers":         {3, 0, false},
		"five of five":              {5, 0, true},
	} {
		var photos []Photo
		for i := range tt.using + tt.others {
			p := Photo{Fingerprint: 0xF0F0F0F0, Mirror: 0x0F0F0F0F, Printed: true, Seller: fmt.Sprint("s", i), Part: "p"}
			if i >= tt.using {
				p.Fingerprint, p.Mirror = 0xFFFFFFFF<<32, 0xAAAAAAAA<<32
			}
			photos = append(photos, p)
		}
		x := Build(photos, Options{})
		assert.Equal(t, tt.want, x.Of(0).Catalogue, name)
	}
}

// randomPhotos gives n random fingerprints, one in ten a copy of an earlier one
// with up to eight bits changed, one in twenty mirrored too.
func randomPhotos(n int) []Photo {
	r := rand.New(rand.NewPCG(1, 2))
	out := make([]Photo, n)
	for i := range out {
		f, m := r.Uint64(), r.Uint64()
		if i > 0 && i%10 == 0 {
			p := out[r.IntN(i)]
			f, m = p.Fingerprint, p.Mirror
			if i%20 == 0 {
				f, m = m, f
			}
			for range r.IntN(9) {
				f ^= 1 << r.IntN(64)
			}
		}
		out[i] = Photo{Fingerprint: f, Mirror: m, Printed: true}
	}
	return out
}

func BenchmarkBuildMillion(b *testing.B) {
	photos := randomPhotos(1_000_000)
	for _, bound := range []int{8, DefaultBound} {
		b.Run(fmt.Sprint("bound=", bound), func(b *testing.B) {
			for b.Loop() {
				Build(photos, Options{Bound: bound})
			}
		})
	}
}
