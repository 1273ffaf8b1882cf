package texts

// Signature size and banding. With s the Jaccard index of two texts, the chance
// that they meet in at least one of b bands of r values is 1-(1-s^r)^b: .9999
// at s = .8, .55 at .5, .06 at .3 (Leskovec, Rajaraman, Ullman, Mining of
// Massive Datasets, ch. 3). The exact check after it removes what is below the
// threshold.
const (
	bins  = 128
	bands = 25
	rows  = 5
)

type signature [bins]uint32

const emptyBin = ^uint32(0)

// sketch computes the one-permutation MinHash of a non-empty set (Li, Owen,
// Zhang 2012): each element falls into one bin, which keeps the least hash. An
// empty bin copies a full one that a fixed sequence of draws finds (optimal
// densification, Shrivastava 2017). The share of equal bins of two signatures
// estimates the Jaccard index J, with standard error sqrt(J(1-J)/bins) (Broder
// 1997) when the sets have many more elements than there are bins, and more when
// they have fewer.
func (s *signature) sketch(set []uint32) {
	var full [bins]bool
	for i := range s {
		s[i] = emptyBin
	}
	for _, v := range set {
		h := mix(uint64(v) ^ 0x6a09e667f3bcc909)
		bin, value := h>>57, min(uint32(h), emptyBin-1)
		s[bin] = min(s[bin], value)
		full[bin] = true
	}
	for i := range s {
		for draw := uint64(1); !full[i] && s[i] == emptyBin; draw++ {
			if j := mix(uint64(i)<<32|draw) >> 57; full[j] {
				s[i] = s[j]
			}
		}
	}
}

// band gives the key of one band.
func (s *signature) band(i int) uint32 {
	h := uint64(i)
	for _, v := range s[i*rows : (i+1)*rows] {
		h = mix(h*0x9e3779b97f4a7c15 + uint64(v))
	}
	return uint32(h)
}
