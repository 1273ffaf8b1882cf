package parse

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"counterfoil/parse/listing"
)

// address is the listing's address without what only tracks the visitor, ""
// when it names no more than a site.
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
	path := strings.TrimSuffix(u.EscapedPath(), "/")
	switch {
	case len(q) > 0:
		return host(l) + path + "?" + q.Encode()
	case path == "":
		return ""
	}
	return host(l) + path
}

func host(l *listing.Listing) string {
	u, err := url.Parse(l.Value(listing.URL))
	if err != nil {
		return ""
	}
	return strings.TrimPrefix(strings.ToLower(u.Hostname()), "www.")
}

// whence names a listing by where it stands.
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

// name gives each listing its key: its id if unique, else marketplace and id,
// else its address, else file and row. Keys depend on the listings alone, not
// on the order in which they were read, but where one page shows several
// offers that nothing tells apart.
func name(list []*listing.Listing) {
	choices := make([][]string, len(list))
	uses := map[string]int{}
	for i, l := range list {
		choices[i] = keysOf(l)
		for _, k := range choices[i] {
			uses[k]++
		}
	}
	taken := map[string]bool{}
	next := map[string]int{}
	for i, l := range list {
		own := choices[i]
		l.Key = own[len(own)-1]
		if at := slices.IndexFunc(own, func(k string) bool { return uses[k] == 1 }); at >= 0 {
			l.Key = own[at]
		}
		for base := l.Key; taken[l.Key]; {
			next[base]++
			l.Key = fmt.Sprintf("%s, offer %d", base, next[base]+1)
		}
		taken[l.Key] = true
	}
}

// keysOf gives the keys a listing may have, without repetition, best first.
func keysOf(l *listing.Listing) []string {
	var keys []string
	add := func(k string) {
		if k != "" && !slices.Contains(keys, k) {
			keys = append(keys, k)
		}
	}
	if id := l.Value(listing.ListingID); id != "" {
		add(id)
		if h := host(l); h != "" {
			add(h + "/" + id)
		}
	}
	add(address(l))
	add(whence(l))
	return keys
}
