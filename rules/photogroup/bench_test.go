package photogroup

import (
	"math/rand/v2"
	"testing"
)

// million gives n random fingerprints, one in ten a copy of an earlier one with
// up to eight bits changed.
func randomPhotos(n int) []Photo {
	r := rand.New(rand.NewPCG(1, 2))
	out := make([]Photo, n)
	for i := range out {
		f, m := r.Uint64(), r.Uint64()
		if i > 0 && i%10 == 0 {
			p := out[r.IntN(i)]
			f, m = p.Fingerprint, p.Mirror
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
		b.Run(map[int]string{8: "bound8", DefaultBound: "bound10"}[bound], func(b *testing.B) {
			for b.Loop() {
				Build(photos, Options{Bound: bound})
			}
		})
	}
}
