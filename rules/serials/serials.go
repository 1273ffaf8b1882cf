// Package serials gathers the serials of a whole batch once, so that rules can
// ask where else a serial was seen.
//
// Two serials are one when their canonical forms are equal (see [Canonical]);
// letters and digits are never exchanged for that. Serials that differ only in
// look-alike characters are reported apart, by [Index.Near]. Values that are no
// serial at all (form fillers, masked numbers) never match anything and are
// kept apart, see [Placeholder] and [Index.Excluded].
//
// No public standard exists for serials of vehicle parts; what is said here of
// fillers and look-alikes is common practice, no source.
package serials

import (
	"cmp"
	"slices"
	"strings"

	"counterfoil/parse/listing"
)

// Sighting is one place where a listing shows a serial.
type Sighting struct {
	Listing  int          // the caller's number of the listing
	Seller   string       // the seller's key; "" when the input does not show the seller
	Part     string       // part key or part number; "" when unknown
	Serial   string       // as read; several serials may stand in it, see [Build]
	Field    listing.Name // SerialNumber, PlateSerial, BoxSerial, Title or Description
	Quantity int          // units offered; 0 when not stated
}

// Repeat is a serial that stands on more than one listing.
type Repeat struct {
	Serial    string     // canonical
	Spellings []string   // as read, distinct, sorted
	Sightings []Sighting // by listing, field, spelling
	Listings  int        // distinct listings, at least 2
	Sellers   int        // distinct known sellers
	Parts     int        // distinct known parts
}

// Excluded is a value in a serial's place that is no usable serial.
type Excluded struct {
	Serial    string // canonical
	Why       string
	Sightings []Sighting
	Listings  int
}

// Index answers questions about the serials of a batch. It is not changed after
// Build and may be read by several goroutines.
type Index struct {
	groups   []group        // sorted by canonical serial
	at       map[string]int // canonical serial to its group
	alike    map[string][]int
	repeats  []Repeat
	excluded []Excluded
	runs     []Run
	inRun    map[[2]string]int // seller and serial -> index in runs
}

type group struct {
	serial    string
	sightings []Sighting
}

// Build indexes the sightings. A text with several serials, separated by comma,
// semicolon, bar or line break, counts as several sightings. Sightings without
// a serial are ignored. The caller's slice is not changed.
func Build(sightings []Sighting) *Index {
	x := &Index{at: map[string]int{}, alike: map[string][]int{}}
	refused := map[string]int{}
	for _, s := range sightings {
		for raw := range strings.FieldsFuncSeq(s.Serial, isListMark) {
			one := s
			one.Serial = strings.TrimSpace(raw)
			serial := Canonical(one.Serial)
			why, bad := placeholder(serial)
			if !bad && isPartNumber(serial, s.Part) {
				why, bad = "the part number stands in the serial's place", true
			}
			switch {
			case serial == "" && one.Serial == "":
			case bad:
				x.exclude(refused, serial, why, one)
			default:
				x.add(serial, one)
			}
		}
	}
	x.finish()
	return x
}

func isListMark(r rune) bool {
	return r == ',' || r == ';' || r == '|' || r == '\n' || r == '\r' || r == '、' || r == '，' || r == '；'
}

// isPartNumber reports whether a serial repeats the listing's part number. The
// part may be a key of several pieces, such as "maker|number|unit".
func isPartNumber(serial, part string) bool {
	if part == "" {
		return false
	}
	if Canonical(part) == serial {
		return true
	}
	for piece := range strings.FieldsFuncSeq(part, func(r rune) bool { return r == '|' || r == ' ' || r == ';' || r == ':' }) {
		if Canonical(piece) == serial {
			return true
		}
	}
	return false
}

func (x *Index) add(serial string, s Sighting) {
	i, ok := x.at[serial]
	if !ok {
		i = len(x.groups)
		x.at[serial] = i
		x.groups = append(x.groups, group{serial: serial})
	}
	x.groups[i].sightings = append(x.groups[i].sightings, s)
}

func (x *Index) exclude(refused map[string]int, serial, why string, s Sighting) {
	key := serial + "\x00" + why
	i, ok := refused[key]
	if !ok {
		i = len(x.excluded)
		refused[key] = i
		x.excluded = append(x.excluded, Excluded{Serial: serial, Why: why})
	}
	x.excluded[i].Sightings = append(x.excluded[i].Sightings, s)
}

func (x *Index) finish() {
	slices.SortFunc(x.groups, func(a, b group) int { return strings.Compare(a.serial, b.serial) })
	for i, g := range x.groups {
		x.at[g.serial] = i
		fold := Fold(g.serial)
		x.alike[fold] = append(x.alike[fold], i)
		slices.SortFunc(g.sightings, bySighting)
	}
	slices.SortFunc(x.excluded, func(a, b Excluded) int {
		return cmp.Or(strings.Compare(a.Serial, b.Serial), strings.Compare(a.Why, b.Why))
	})
	for i := range x.excluded {
		e := &x.excluded[i]
		slices.SortFunc(e.Sightings, bySighting)
		e.Listings = countListings(e.Sightings)
	}
	x.repeats = findRepeats(x.groups)
	x.runs = findRuns(x.groups)
	x.inRun = map[[2]string]int{}
	for i, r := range x.runs {
		for _, serial := range r.Serials {
			x.inRun[[2]string{r.Seller, serial}] = i
		}
	}
}

func bySighting(a, b Sighting) int {
	return cmp.Or(cmp.Compare(a.Listing, b.Listing), cmp.Compare(a.Field, b.Field),
		strings.Compare(a.Serial, b.Serial), strings.Compare(a.Seller, b.Seller),
		strings.Compare(a.Part, b.Part), cmp.Compare(a.Quantity, b.Quantity))
}

// countListings counts distinct listings of sightings sorted by listing.
func countListings(list []Sighting) int {
	n := 0
	for i := range list {
		if i == 0 || list[i].Listing != list[i-1].Listing {
			n++
		}
	}
	return n
}

// Repeats lists the serials seen on more than one listing, sorted by serial. The
// slice belongs to the index.
func (x *Index) Repeats() []Repeat { return x.repeats }

// Repeat gives the repeat of a serial in whatever spelling; ok is false when it
// stands on one listing only.
func (x *Index) Repeat(serial string) (r Repeat, ok bool) {
	i, ok := slices.BinarySearchFunc(x.repeats, Canonical(serial), func(r Repeat, s string) int { return strings.Compare(r.Serial, s) })
	if !ok {
		return Repeat{}, false
	}
	return x.repeats[i], true
}

func findRepeats(groups []group) []Repeat {
	var out []Repeat
	for _, g := range groups {
		n := countListings(g.sightings)
		if n < 2 {
			continue
		}
		out = append(out, Repeat{Serial: g.serial, Sightings: g.sightings, Listings: n,
			Spellings: distinct(g.sightings, func(s Sighting) string { return s.Serial }),
			Sellers:   len(distinct(g.sightings, func(s Sighting) string { return s.Seller })),
			Parts:     len(distinct(g.sightings, func(s Sighting) string { return s.Part }))})
	}
	return out
}

// distinct gives the sorted distinct non-empty values of a property.
func distinct(list []Sighting, of func(Sighting) string) []string {
	var out []string
	for _, s := range list {
		if v := of(s); v != "" {
			out = append(out, v)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Of gives all sightings of a serial in whatever spelling, sorted by listing
// and field; none for a placeholder. The slice belongs to the index.
func (x *Index) Of(serial string) []Sighting {
	if i, ok := x.at[Canonical(serial)]; ok {
		return x.groups[i].sightings
	}
	return nil
}

// Near gives the sightings of serials that are not the given one but read alike
// (see [Fold]): perhaps a misread or mistyped copy of it, perhaps another unit.
func (x *Index) Near(serial string) []Sighting {
	self := Canonical(serial)
	var out []Sighting
	for _, i := range x.alike[Fold(self)] {
		if x.groups[i].serial != self {
			out = append(out, x.groups[i].sightings...)
		}
	}
	return out
}

// Excluded lists the values in a serial's place that were not matched, with the
// reason, sorted by value. The slice belongs to the index.
func (x *Index) Excluded() []Excluded { return x.excluded }

// Runs lists consecutive serials at one seller, sorted by seller and serial. The
// slice belongs to the index.
func (x *Index) Runs() []Run { return x.runs }

// RunOf gives the run at a seller that a canonical serial belongs to.
func (x *Index) RunOf(seller, serial string) (Run, bool) {
	i, ok := x.inRun[[2]string{seller, serial}]
	if !ok {
		return Run{}, false
	}
	return x.runs[i], true
}
