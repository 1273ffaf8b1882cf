package parse

import (
	"fmt"

	"counterfoil/parse/listing"
)

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

// choices are the keys that a listing may have, best first; "" for none.
var choices = []func(c *capture) string{
	func(c *capture) string { return c.Value(listing.ListingID) },
	func(c *capture) string {
		if id := c.Value(listing.ListingID); id != "" && c.host != "" {
			return c.host + "/" + id
		}
		return ""
	},
	func(c *capture) string { return c.address },
	func(c *capture) string { return whence(c.Listing) },
}

// name gives each listing its key: its id if no other one has it, else
// marketplace and id, else its address, else file and row. Keys depend on the
// listings alone, not on the order in which they were read, but where one page
// shows several offers that nothing tells apart.
func name(list []*capture) {
	taken := make(map[string]bool, len(list))
	next := map[string]int{}
	for level, choice := range choices {
		last := level == len(choices)-1
		uses := make(map[string]int, len(list))
		for _, c := range list {
			uses[choice(c)]++
		}
		var rest []*capture
		for _, c := range list {
			key := choice(c)
			if !last && (key == "" || uses[key] > 1 || taken[key]) {
				rest = append(rest, c)
				continue
			}
			for base := key; taken[key]; {
				next[base]++
				key = fmt.Sprintf("%s, offer %d", base, next[base]+1)
			}
			taken[key] = true
			c.Key = key
		}
		list = rest
	}
}
