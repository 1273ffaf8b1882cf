package settings

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"counterfoil/parse/listing"
	"counterfoil/parse/listing/strict"
	"counterfoil/rules/checkdigit"
)

// Makers is the set of maker profiles of one run.
type Makers struct {
	List []Maker
}

// Maker is what the user knows of one maker of branded parts. Every list may
// be empty; the rules that need it are then not assessed.
type Maker struct {
	Name        string       `yaml:"name"`
	Also        []string     `yaml:"also"` // other spellings and trade marks
	PartNumbers []PartStyle  `yaml:"part_numbers"`
	Serials     []SerialRule `yaml:"serials"`
	// Plants maps the text of a serial's group "plant" to the plant's name.
	Plants map[string]string `yaml:"plants"`
	// Countries are the ISO 3166 codes of the countries of the maker's plants.
	Countries []string `yaml:"countries"`
	// Views are the photo views that the maker's guide asks for.
	Views []string `yaml:"views"`
	// Authorised are the names or ids of sellers on the maker's list.
	Authorised []string `yaml:"authorised"`
	// GTINPrefixes are the GS1 company prefixes the maker uses.
	GTINPrefixes []string `yaml:"gtin_prefixes"`
	// Specimens are serials of plates that the maker shows in guides and
	// catalogues.
	Specimens []string `yaml:"specimens"`
	// BadSerials are serials confirmed as cloned or invented.
	BadSerials []string `yaml:"bad_serials"`
	// Discontinued are part numbers the maker no longer makes.
	Discontinued []string `yaml:"discontinued"`
	// Launched maps a part number to the month of its launch, "2019-05".
	Launched map[string]string `yaml:"launched"`
	// Models maps a pattern of part numbers, in the form that Canonical gives, to
	// the model designations of those parts.
	Models map[string][]string `yaml:"models"`
	// Features are what tells the maker's units from copies on a photo.
	Features []Feature `yaml:"features"`

	models []modelRule // of Models, by pattern
}

// modelRule is one compiled entry of Maker.Models.
type modelRule struct {
	re     *regexp.Regexp
	models []string
}

// PartStyle is one way the maker writes part numbers.
type PartStyle struct {
	Name    string `yaml:"name"`
	Pattern string `yaml:"pattern"` // see Maker.Canonical
	// Pad is the length to which the group "suffix" is padded with zeros.
	Pad      int      `yaml:"pad"`
	Examples []string `yaml:"examples"` // each must match

	re *regexp.Regexp
}

// SerialRule is one way the maker writes serials. The pattern may have the
// groups plant, year, month, week and number.
type SerialRule struct {
	Name     string   `yaml:"name"`
	Pattern  string   `yaml:"pattern"`
	Examples []string `yaml:"examples"`
	// Century is added to a two-digit group "year"; 2000 when not given.
	Century int `yaml:"century"`
	// Check names the check digit system of the whole serial: "luhn",
	// "mod-11-10" or "mod-97-10" (ISO 7064); "" for none.
	Check string `yaml:"check"`
	// Least and Most bound the group "number", inclusive; 0 for no bound.
	Least int `yaml:"least"`
	Most  int `yaml:"most"`

	re *regexp.Regexp
}

// ReadMakers reads a makers file. Patterns are Go regular expressions that
// must match a whole number; an example that does not match is an error.
func ReadMakers(file string, data []byte) (*Makers, error) {
	var doc struct {
		Makers []Maker `yaml:"makers"`
	}
	if err := strict.YAML(file, data, &doc); err != nil {
		return nil, err
	}
	var errs []error
	fail := func(quoted, format string, args ...any) {
		line, column := find(data, quoted)
		errs = append(errs, strict.At(file, data, line, column, fmt.Sprintf(format, args...)))
	}
	if len(doc.Makers) == 0 {
		fail("makers", "no maker in the file")
	}
	seen := map[string]bool{}
	for i := range doc.Makers {
		m := &doc.Makers[i]
		if strings.TrimSpace(m.Name) == "" {
			fail("name", "maker %d has no name", i+1)
		}
		if seen[m.Name] {
			fail(m.Name, "maker %q stands here twice", m.Name)
		}
		seen[m.Name] = true
		for j := range m.PartNumbers {
			p := &m.PartNumbers[j]
			p.re = compile(p.Pattern, fail)
			for _, example := range p.Examples {
				if _, ok := p.canonical(example); p.re != nil && !ok {
					fail(example, "the example %q does not match its pattern", example)
				}
			}
		}
		for j := range m.Serials {
			s := &m.Serials[j]
			if s.Century == 0 {
				s.Century = 2000
			}
			s.re = compile(s.Pattern, fail)
			if _, known := checkSystems[s.Check]; s.Check != "" && !known {
				fail(s.Check, "%q is not one of luhn, mod-11-10, mod-97-10", s.Check)
			}
			if s.Most != 0 && s.Least > s.Most {
				fail("least", "least %d is above most %d", s.Least, s.Most)
			}
			for _, example := range s.Examples {
				if s.re != nil && !s.re.MatchString(listing.CanonicalNumber(example)) {
					fail(example, "the example %q does not match its pattern", example)
				}
			}
		}
		for _, c := range m.Countries {
			if len(c) != 2 || strings.ToUpper(c) != c {
				fail(c, "%q is not a two-letter country code of ISO 3166", c)
			}
		}
		m.checkFeatures(fail)
		for part, month := range m.Launched {
			if !monthText.MatchString(month) {
				fail(month, "%q (launch of %s) is not a month such as 2019-05", month, part)
			}
		}
		for _, pattern := range slices.Sorted(maps.Keys(m.Models)) {
			if len(m.Models[pattern]) == 0 {
				fail(pattern, "the pattern %q has no model", pattern)
			}
			m.models = append(m.models, modelRule{compile(pattern, fail), m.Models[pattern]})
		}
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	return &Makers{List: doc.Makers}, nil
}

var monthText = regexp.MustCompile(`^\d{4}-(0[1-9]|1[0-2])$`)

func compile(pattern string, fail func(string, string, ...any)) *regexp.Regexp {
	if pattern == "" {
		fail("pattern", "a pattern is empty")
		return nil
	}
	re, err := regexp.Compile(`^(?:` + pattern + `)$`)
	if err != nil {
		fail(pattern, "the pattern %q is no regular expression: %v", pattern, err)
		return nil
	}
	return re
}

// find gives line and column of the first occurrence of text, 1 and 1 if it
// does not stand there literally.
func find(data []byte, text string) (line, column int) {
	i := strings.Index(string(data), text)
	if i < 0 {
		return 1, 1
	}
	before := string(data[:i])
	return strings.Count(before, "\n") + 1, len([]rune(before[strings.LastIndex(before, "\n")+1:])) + 1
}

// Canonical brings a part number into the maker's own form. The pattern is
// tried on the number with its hyphens. With groups "base" and "suffix" the
// result is base, hyphen, suffix padded to Pad; a hyphen elsewhere than between
// the two makes another number. Without the groups hyphens may stand anywhere,
// and the result is the number without separators. ok is false when no style of
// the maker matches.
func (m *Maker) Canonical(number string) (canonical string, ok bool) {
	for i := range m.PartNumbers {
		if c, ok := m.PartNumbers[i].canonical(number); ok {
			return c, true
		}
	}
	return "", false
}

func (p *PartStyle) canonical(number string) (string, bool) {
	if p.re == nil {
		return "", false
	}
	text := listing.HyphenatedNumber(number)
	match := p.re.FindStringSubmatch(text)
	base, suffix := p.re.SubexpIndex("base"), p.re.SubexpIndex("suffix")
	plain := base < 0 || suffix < 0
	if match == nil && plain {
		text = listing.CanonicalNumber(number)
		match = p.re.FindStringSubmatch(text)
	}
	if match == nil {
		return "", false
	}
	if plain {
		return listing.CanonicalNumber(text), true
	}
	tail := match[suffix]
	if n := p.Pad - len(tail); n > 0 {
		tail = strings.Repeat("0", n) + tail
	}
	return match[base] + "-" + tail, true
}

// ModelsOf lists the model designations that the profile gives for a part
// number in canonical form, none when it does not know the number.
func (m *Maker) ModelsOf(canonical string) []string {
	var list []string
	for _, r := range m.models {
		if r.re.MatchString(canonical) {
			list = append(list, r.models...)
		}
	}
	return list
}

// SerialParts is what a serial says of itself by the maker's table.
type SerialParts struct {
	Rule  string // the rule's name
	Plant string // text of the group, "" when the rule has none
	Year  int    // 0 when the rule has no year
	Month int    // 1..12, 0 when unknown
	Week  int
	Note  string // why the serial breaks the rule although its form matches, or ""
}

// Serial reads a serial by the maker's rules. ok is false when no rule's form
// matches; a form that matches with an impossible plant, month or week comes
// back with a Note.
func (m *Maker) Serial(serial string) (SerialParts, bool) {
	text := listing.CanonicalNumber(serial)
	for i := range m.Serials {
		rule := &m.Serials[i]
		match := rule.re.FindStringSubmatch(text)
		if match == nil {
			continue
		}
		group := func(name string) string {
			if i := rule.re.SubexpIndex(name); i >= 0 {
				return match[i]
			}
			return ""
		}
		parts := SerialParts{Rule: rule.Name, Plant: group("plant")}
		parts.Year, parts.Month, parts.Week = number(group("year")), number(group("month")), number(group("week"))
		if len(group("year")) == 2 {
			parts.Year += rule.Century
		}
		switch {
		case parts.Plant != "" && len(m.Plants) > 0 && m.Plants[parts.Plant] == "":
			parts.Note = fmt.Sprintf("%q is not one of the maker's plant letters", parts.Plant)
		case group("month") != "" && (parts.Month < 1 || parts.Month > 12):
			parts.Note = fmt.Sprintf("month %s does not exist", group("month"))
		case group("week") != "" && (parts.Week < 1 || parts.Week > 53):
			parts.Note = fmt.Sprintf("week %s does not exist", group("week"))
		case rule.Check != "" && !checkSystems[rule.Check](text):
			parts.Note = fmt.Sprintf("its check digit by %s is wrong", rule.Check)
		case group("number") != "" && !rule.inRange(number(group("number"))):
			parts.Note = fmt.Sprintf("the running number %s is outside %s", group("number"), rule.rangeText())
		}
		return parts, true
	}
	return SerialParts{}, false
}

// checkSystems are the check digit systems that a serial rule may name.
var checkSystems = map[string]func(string) bool{
	"luhn": checkdigit.Luhn, "mod-11-10": checkdigit.Mod11and10, "mod-97-10": checkdigit.Mod97,
}

func (r *SerialRule) inRange(n int) bool {
	return n >= r.Least && (r.Most == 0 || n <= r.Most)
}

func (r *SerialRule) rangeText() string {
	if r.Most == 0 {
		return fmt.Sprintf("%d upward", r.Least)
	}
	return fmt.Sprintf("%d to %d", r.Least, r.Most)
}

func number(s string) int {
	n := 0
	for _, c := range s {
		if c < '0' || c > '9' || n > 99999 {
			return 0
		}
		n = n*10 + int(c-'0')
	}
	return n
}

// Named finds the maker that a brand text names, by its name or one of its
// other spellings, letter case and outer blanks apart; nil if none.
func (ms *Makers) Named(brand string) *Maker {
	if ms == nil {
		return nil
	}
	brand = strings.ToLower(strings.TrimSpace(brand))
	for i := range ms.List {
		for _, n := range ms.List[i].names() {
			if strings.ToLower(n) == brand {
				return &ms.List[i]
			}
		}
	}
	return nil
}

func (m *Maker) names() []string { return append([]string{m.Name}, m.Also...) }

// IsAuthorised reports whether one of the names or ids is on the maker's list.
func (m *Maker) IsAuthorised(names ...string) bool {
	for _, a := range m.Authorised {
		for _, n := range names {
			if n != "" && strings.EqualFold(strings.TrimSpace(a), strings.TrimSpace(n)) {
				return true
			}
		}
	}
	return false
}

// IsSpecimen reports whether the serial is that of a plate the maker shows.
func (m *Maker) IsSpecimen(serial string) bool { return listed(m.Specimens, serial) }

// HasBadSerial reports whether the serial is on the maker's confirmed list.
func (m *Maker) HasBadSerial(serial string) bool { return listed(m.BadSerials, serial) }

func listed(list []string, serial string) bool {
	c := listing.CanonicalNumber(serial)
	return slices.ContainsFunc(list, func(s string) bool { return listing.CanonicalNumber(s) == c })
}
