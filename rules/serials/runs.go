package serials

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// MinRun is how many serials in sequence make a run.
const MinRun = 3

// Run is a sequence of serials at one seller that have the same beginning and
// whose closing digits count up by one. A carton from a maker gives such a run,
// and so does a list of invented numbers.
type Run struct {
	Seller      string
	Prefix      string // what stands before the closing digits
	First, Last string // canonical
	Serials     []string
	Sightings   []Sighting // in the order of Serials
	Listings    int        // distinct listings
}

// numbered is one serial at one seller, split for counting.
type numbered struct {
	seller, prefix string
	width          int
	number         uint64
	group          *group
}

func findRuns(groups []group) []Run {
	var all []numbered
	for i := range groups {
		prefix, width, number, ok := splitCount(groups[i].serial)
		if !ok {
			continue
		}
		for _, seller := range distinct(groups[i].sightings, func(s Sighting) string { return s.Seller }) {
			all = append(all, numbered{seller, prefix, width, number, &groups[i]})
		}
	}
	slices.SortFunc(all, func(a, b numbered) int {
		return cmp.Or(strings.Compare(a.seller, b.seller), strings.Compare(a.prefix, b.prefix),
			cmp.Compare(a.width, b.width), cmp.Compare(a.number, b.number))
	})
	var runs []Run
	for i := 0; i < len(all); {
		j := i + 1
		for j < len(all) && all[j].follows(all[j-1]) {
			j++
		}
		if j-i >= MinRun {
			runs = append(runs, runOf(all[i:j]))
		}
		i = j
	}
	return runs
}

func (n numbered) follows(p numbered) bool {
	return n.seller == p.seller && n.prefix == p.prefix && n.width == p.width && n.number == p.number+1
}

func runOf(list []numbered) Run {
	r := Run{Seller: list[0].seller, Prefix: list[0].prefix,
		First: list[0].group.serial, Last: list[len(list)-1].group.serial}
	var listings []int
	for _, n := range list {
		r.Serials = append(r.Serials, n.group.serial)
		for _, s := range n.group.sightings {
			if s.Seller == r.Seller {
				r.Sightings = append(r.Sightings, s)
				listings = append(listings, s.Listing)
			}
		}
	}
	slices.Sort(listings)
	r.Listings = len(slices.Compact(listings))
	return r
}

// splitCount splits a serial into what stands before its closing digits and
// these digits, at most 18 of them so that they fit a number.
func splitCount(serial string) (prefix string, width int, number uint64, ok bool) {
	i := len(serial)
	for i > 0 && len(serial)-i < 18 && serial[i-1] >= '0' && serial[i-1] <= '9' {
		i--
	}
	if i == len(serial) {
		return "", 0, 0, false
	}
	number, err := strconv.ParseUint(serial[i:], 10, 64)
	return serial[:i], len(serial) - i, number, err == nil
}
