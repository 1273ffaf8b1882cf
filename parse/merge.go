package parse

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"counterfoil/parse/listing"
)

// merge joins captures of the same listing: the same address, or the same id
// on the same marketplace. The newest capture counts, by the capture time that
// the input states, then the one that tells more; what the others say
// differently is kept as disagreements. Listings come back in input order.
func merge(list []*listing.Listing) (kept []*listing.Listing, problems []listing.Problem) {
	group := map[string]int{} // identity -> index in sets
	var sets [][]*listing.Listing
	for _, l := range list {
		at := -1
		ids := identities(l)
		for _, id := range ids {
			if i, ok := group[id]; ok && sameOffer(sets[i][0], l) {
				at = i
				break
			}
		}
		if at < 0 {
			at = len(sets)
			sets = append(sets, nil)
		}
		sets[at] = append(sets[at], l)
		for _, id := range ids {
			if _, ok := group[id]; !ok {
				group[id] = at
			}
		}
	}
	for _, set := range sets {
		best := set[0]
		for _, l := range set[1:] {
			if better(l, best) {
				best = l
			}
		}
		for _, l := range set {
			if l == best {
				continue
			}
			n := keepDifferences(best, l)
			best.Also = append(best.Also, listing.CaptureRef{File: l.File, Entry: l.Entry, SHA256: l.SHA256, Row: l.Row})
			problems = append(problems, listing.Problem{Severity: listing.Notice, File: l.File, Entry: l.Entry,
				Place:  listing.Place{Row: int32(l.Row)},
				Reason: fmt.Sprintf("the same listing as in %s; that capture counts, %d differing values are kept", whence(best), n)})
		}
		kept = append(kept, best)
	}
	name(kept)
	return kept, problems
}

func whence(l *listing.Listing) string {
	s := l.File
	if l.Entry != "" {
		s += " (" + l.Entry + ")"
	}
	if l.Row > 0 {
		s += fmt.Sprintf(", row %d", l.Row)
	}
	return s
}

// identities gives the keys under which another capture of the listing may be
// found.
func identities(l *listing.Listing) []string {
	var ids []string
	if u := address(l); u != "" {
		ids = append(ids, "address "+u)
	}
	if id := l.Value(listing.ListingID); id != "" {
		ids = append(ids, "id "+id)
	}
	return ids
}

// sameOffer refuses to join captures whose marketplace or seller differ.
func sameOffer(a, b *listing.Listing) bool {
	differ := func(x, y string) bool { return x != "" && y != "" && !strings.EqualFold(x, y) }
	return !differ(host(a), host(b)) && !differ(a.Value(listing.Seller), b.Value(listing.Seller)) &&
		!differ(a.Value(listing.ListingID), b.Value(listing.ListingID))
}

func better(a, b *listing.Listing) bool {
	return cmp.Or(
		strings.Compare(a.Value(listing.CapturedAt), b.Value(listing.CapturedAt)),
		boolCompare(!a.Brief, !b.Brief),
		cmp.Compare(len(a.Photos), len(b.Photos)),
		cmp.Compare(len(a.Fields()), len(b.Fields())),
	) > 0
}

func boolCompare(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return 1
	}
	return -1
}

func keepDifferences(best, other *listing.Listing) int {
	n := 0
	for _, f := range other.Fields() {
		if kept, ok := best.Get(f.Name); ok && kept.Value != f.Value {
			best.Disagreements = append(best.Disagreements, listing.Disagreement{Kept: kept, Other: f})
			n++
		}
	}
	return n
}

// address is the listing's address without what only tracks the visitor.
func address(l *listing.Listing) string {
	u, err := url.Parse(l.Value(listing.URL))
	if err != nil || u.Host == "" {
		return ""
	}
	q := u.Query()
	for k := range q {
		if strings.HasPrefix(k, "utm_") || k == "ref" || k == "gclid" || k == "fbclid" {
			q.Del(k)
		}
	}
	out := host(l) + strings.TrimSuffix(u.EscapedPath(), "/")
	if len(q) > 0 {
		out += "?" + q.Encode()
	}
	return out
}

func host(l *listing.Listing) string {
	u, err := url.Parse(l.Value(listing.URL))
	if err != nil {
		return ""
	}
	return strings.TrimPrefix(strings.ToLower(u.Hostname()), "www.")
}

// name gives each listing its key: its id if unique, else marketplace and id,
// else its address, else file and row.
func name(list []*listing.Listing) {
	choices := make([][]string, len(list))
	for i, l := range list {
		id, h := l.Value(listing.ListingID), host(l)
		if id != "" {
			choices[i] = append(choices[i], id)
			if h != "" {
				choices[i] = append(choices[i], h+"/"+id)
			}
		}
		if a := address(l); a != "" && !l.Brief {
			choices[i] = append(choices[i], a)
		}
		choices[i] = append(choices[i], whence(l))
	}
	uses := map[string]int{}
	for _, c := range choices {
		for _, k := range slices.Compact(slices.Clone(c)) {
			uses[k]++
		}
	}
	taken := map[string]int{}
	for i, l := range list {
		l.Key = choices[i][len(choices[i])-1]
		for _, k := range choices[i] {
			if uses[k] == 1 {
				l.Key = k
				break
			}
		}
		taken[l.Key]++
		if n := taken[l.Key]; n > 1 {
			l.Key = fmt.Sprintf("%s, offer %d", l.Key, n)
		}
	}
}
