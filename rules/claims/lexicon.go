package claims

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Bounds on one lexicon file.
const (
	maxLexicon    = 1 << 20 // bytes
	maxVariants   = 3000    // phrases one line may stand for
	maxPhraseSize = 12      // tokens of one phrase
	maxPhrases    = 200_000 // written-out phrases of one file
	maxFaults     = 50      // reported of one file
)

// layer keeps phrases apart that may lie over one another: "gasket kit" inside
// "gift gasket kit" stays a noun.
type layer uint8

const (
	layerStance layer = iota // stances, and labels that only swallow text
	layerNoun
	layerNot
	layerWith
	layerWords
	layerUnbranded
	layerMaker
	layerCount
)

// binding says where the noun of a claim word stands.
type binding struct {
	after bool // "genuine kit": the noun follows; else "kit d'origine"
	last  bool // "turbo gasket kit": the last noun of a row is its head
}

// entry is what one phrase means.
type entry struct {
	layer  layer
	stance Stance // "" for a label
	code   string
	scope  string // fixed scope, or the noun's scope
	maker  string
	lang   string
	bind   binding

	// set when an engine takes the entry
	meaning *Meaning
	user    bool
	rank    int // of the language, in the engine's order of preference
}

// variant is one phrase: a row of words, each literal, stem or any.
type variant struct {
	words []*pattern // shared by all phrases with that word
	entry *entry     // shared by all phrases of a section
}

// pattern is one word of a phrase.
type pattern struct {
	text string // folded; "" stands for any one word
	stem bool   // more letters may follow
}

// Lexicon is the parsed form of one lexicon file. See the package comment for
// the format.
type Lexicon struct {
	Lang     string
	name     string
	variants []variant
}

// SyntaxError is one thing wrong with a lexicon file.
type SyntaxError struct {
	Name         string
	Line, Column int // both from 1; the column counts characters
	Reason       string
}

// Error prints as `my.lex:12:4: "genuin e*x": a star must end a word`.
func (e *SyntaxError) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s", e.Name, e.Line, e.Column, e.Reason)
}

// lexiconParser holds the state between lines.
type lexiconParser struct {
	lex     *Lexicon
	line    int
	section *entry
	bind    binding
	bound   bool
	seen    map[string]seenAt
	folds   map[string][]*pattern // words folded so far
}

type seenAt struct {
	entry *entry
	line  int
}

var (
	langTag  = regexp.MustCompile(`^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$`)
	codeWord = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	scopes   = []string{ScopeUnit, ScopeKit, ScopeComponent, ScopeCore, ScopePhoto, ScopePackaging, ScopePaper, ScopeVehicle}
)

// ParseLexicon reads one lexicon file. name stands in the error, which joins
// one *SyntaxError with line and column for each fault, at most maxFaults.
func ParseLexicon(name string, src []byte) (*Lexicon, error) {
	p := &lexiconParser{lex: &Lexicon{name: name}, seen: map[string]seenAt{}, folds: map[string][]*pattern{}}
	if len(src) > maxLexicon {
		return nil, &SyntaxError{name, 1, 1, fmt.Sprintf("the file is larger than %d bytes", maxLexicon)}
	}
	text := strings.TrimPrefix(string(src), "\ufeff")
	var faults []error
	for line := range strings.Lines(text) {
		p.line++
		if err := p.parseLine(strings.TrimRight(line, "\r\n")); err != nil {
			faults = append(faults, err)
		}
		if len(faults) == maxFaults {
			break
		}
	}
	if p.lex.Lang == "" && len(faults) == 0 {
		faults = append(faults, p.fail(0, `no "lang" line`))
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return p.lex, nil
}

func (p *lexiconParser) fail(column int, format string, args ...any) error {
	return &SyntaxError{p.lex.name, max(p.line, 1), column + 1, fmt.Sprintf(format, args...)}
}

func (p *lexiconParser) parseLine(line string) error {
	if !utf8.ValidString(line) {
		return p.fail(0, "the line is not valid UTF-8")
	}
	body, _, _ := strings.Cut(line, "#")
	text := strings.TrimSpace(body)
	indent := utf8.RuneCountInString(body[:strings.Index(body, text)])
	switch {
	case text == "":
		return nil
	case isSection(text):
		return p.parseSection(text[1:len(text)-1], indent+1)
	case p.section == nil:
		return p.parseHeader(text, indent)
	}
	return p.parsePhrase(text, indent)
}

// isSection tells "[genuine]" from a phrase that begins with an optional word.
func isSection(text string) bool {
	return text[0] == '[' && strings.IndexByte(text, ']') == len(text)-1 && !strings.ContainsAny(text, "(|")
}

func (p *lexiconParser) parseHeader(text string, column int) error {
	words := strings.Fields(text)
	switch words[0] {
	case "lang":
		if len(words) != 2 || !langTag.MatchString(words[1]) {
			return p.fail(column, `want "lang" and a language tag, as in "lang de"`)
		}
		if p.lex.Lang != "" {
			return p.fail(column, `a second "lang" line`)
		}
		p.lex.Lang = words[1]
		return nil
	case "bind":
		ok := len(words) == 3 && (words[1] == "before" || words[1] == "after") && (words[2] == "first" || words[2] == "last")
		if !ok || p.bound {
			return p.fail(column, `want one line "bind", before or after, first or last, as in "bind after last"`)
		}
		p.bind, p.bound = binding{after: words[1] == "after", last: words[2] == "last"}, true
		return nil
	}
	return p.fail(column, "%q is neither a header (lang, bind) nor a section", words[0])
}

// parseSection reads what stands between the brackets of a section's heading.
func (p *lexiconParser) parseSection(text string, column int) error {
	if p.lex.Lang == "" || !p.bound {
		return p.fail(column, `the lines "lang" and "bind" come before the first section`)
	}
	words := strings.Fields(text)
	if len(words) == 0 {
		return p.fail(column, "an empty section name")
	}
	e := entry{lang: p.lex.Lang, bind: p.bind}
	at := func(i int) int { return column + utf8.RuneCountInString(text[:strings.Index(text, words[i])]) }
	plain := map[string]layer{"label": layerStance, "not": layerNot, "with": layerWith, "words": layerWords, "unbranded": layerUnbranded}
	if l, ok := plain[words[0]]; ok {
		if len(words) > 1 {
			return p.fail(at(1), "section %s takes nothing else", words[0])
		}
		e.layer = l
		p.section = &e
		return nil
	}
	if words[0] == "noun" {
		if len(words) != 2 || !slices.Contains(scopes, words[1]) {
			return p.fail(column, "want a noun section with one of: %s", strings.Join(scopes, ", "))
		}
		e.layer, e.scope = layerNoun, words[1]
		p.section = &e
		return nil
	}
	e.stance, e.code = Stance(words[0]), words[0]
	if !slices.Contains(Stances, e.stance) {
		return p.fail(column, "%q is no section; the sections are noun, label, not, with, words, unbranded and the stances", words[0])
	}
	for i, w := range words[1:] {
		value, attr, isAttr := "", "", false
		if attr, value, isAttr = strings.Cut(w, "="); !isAttr {
			if i > 0 || !codeWord.MatchString(w) {
				return p.fail(at(i+1), "%q is not a code: want one word in lower case with hyphens", w)
			}
			e.code = w
			continue
		}
		if attr != "scope" || !slices.Contains(scopes, value) {
			return p.fail(at(i+1), "%q: want scope= and one of: %s", w, strings.Join(scopes, ", "))
		}
		e.scope = value
	}
	p.section = &e
	return nil
}

func (p *lexiconParser) parsePhrase(text string, column int) error {
	x := &expander{src: []rune(text)}
	rows, err := x.sequence(0)
	if err == "" && x.at < len(x.src) {
		err = fmt.Sprintf("%q without its opening bracket", string(x.src[x.at]))
	}
	if err != "" {
		return p.fail(column+min(x.at, len(x.src)), "%s", err)
	}
	added := 0
	for _, row := range rows {
		words, reason := p.patterns(row)
		if reason != "" {
			return p.fail(column, "%s", reason)
		}
		if len(words) == 0 {
			continue
		}
		if words[0].text == "" {
			return p.fail(column, "a phrase cannot begin with _")
		}
		ok, err := p.add(words, column)
		if err != nil {
			return err
		}
		if ok {
			added++
		}
	}
	if added == 0 {
		return p.fail(column, "the phrase is empty or stands in this section already")
	}
	return nil
}

// add stores a phrase unless this section has it; another meaning in the same
// layer is an error.
func (p *lexiconParser) add(words []*pattern, column int) (bool, error) {
	key := string(rune('0'+p.section.layer)) + phraseText(words)
	if old, ok := p.seen[key]; ok {
		if *old.entry != *p.section {
			return false, p.fail(column, "%q has another meaning on line %d", phraseText(words), old.line)
		}
		return false, nil
	}
	if len(p.lex.variants) == maxPhrases {
		return false, p.fail(column, "the file stands for more than %d phrases", maxPhrases)
	}
	p.seen[key] = seenAt{p.section, p.line}
	p.lex.variants = append(p.lex.variants, variant{words, p.section})
	return true, nil
}

func phraseText(words []*pattern) string {
	var parts []string
	for _, w := range words {
		switch {
		case w.text == "":
			parts = append(parts, "_")
		case w.stem:
			parts = append(parts, w.text+"*")
		default:
			parts = append(parts, w.text)
		}
	}
	return strings.Join(parts, " ")
}

// patterns folds one written-out phrase the way texts are folded.
func (p *lexiconParser) patterns(row string) ([]*pattern, string) {
	var out []*pattern
	for field := range strings.FieldsSeq(row) {
		words, ok := p.folds[field]
		if !ok {
			var reason string
			if words, reason = foldPattern(field); reason != "" {
				return nil, reason
			}
			p.folds[field] = words
		}
		out = append(out, words...)
	}
	if len(out) > maxPhraseSize {
		return nil, fmt.Sprintf("a phrase of more than %d words", maxPhraseSize)
	}
	return out, ""
}

// foldPattern folds one word of a phrase; "d'origine" and Chinese give several.
func foldPattern(field string) ([]*pattern, string) {
	if field == "_" {
		return []*pattern{{}}, ""
	}
	word, stem := strings.CutSuffix(field, "*")
	if strings.Contains(word, "*") {
		return nil, fmt.Sprintf("%q: a star must end a word", field)
	}
	words := foldWords(word)
	if len(words) == 0 {
		return nil, fmt.Sprintf("%q holds nothing to match", field)
	}
	if stem && !wordEnd(word) {
		return nil, fmt.Sprintf("%q: only a word with spaces around it can be a stem", field)
	}
	words[len(words)-1].stem = stem
	return words, ""
}

// foldWords gives the tokens of s as patterns.
func foldWords(s string) []*pattern {
	var f folded
	f.fold(s)
	var out []*pattern
	for i := range f.tokens {
		out = append(out, &pattern{text: string(f.word(i))})
	}
	return out
}

// wordEnd reports whether s ends in a letter or digit of a script with word spaces.
func wordEnd(s string) bool {
	r, _ := utf8.DecodeLastRuneInString(s)
	return (unicode.IsLetter(r) || unicode.IsNumber(r)) && !unspaced(r)
}

// expander writes out the brackets of a phrase: (a|b) either, [a] or nothing.
type expander struct {
	src []rune
	at  int
}

const maxNesting = 4

// sequence reads up to a closing bracket, a bar or the end and returns every
// row of words it stands for. The second result is the fault, if any.
func (x *expander) sequence(depth int) ([]string, string) {
	if depth > maxNesting {
		return nil, "brackets nested too deep"
	}
	rows := []string{""}
	for x.at < len(x.src) {
		var options []string
		switch c := x.src[x.at]; c {
		case ')', ']', '|':
			return rows, ""
		case '(', '[':
			closing := map[rune]rune{'(': ')', '[': ']'}[c]
			var err string
			if options, err = x.choices(depth, closing); err != "" {
				return nil, err
			}
			if c == '[' {
				options = append(options, "")
			}
		default:
			start := x.at
			for x.at < len(x.src) && !strings.ContainsRune("()[]|", x.src[x.at]) {
				x.at++
			}
			options = []string{string(x.src[start:x.at])}
		}
		if len(rows)*len(options) > maxVariants {
			return nil, fmt.Sprintf("the line stands for more than %d phrases", maxVariants)
		}
		rows = product(rows, options)
	}
	return rows, ""
}

func (x *expander) choices(depth int, closing rune) ([]string, string) {
	var all []string
	for {
		x.at++ // the opening bracket or the bar
		rows, err := x.sequence(depth + 1)
		if err != "" {
			return nil, err
		}
		all = append(all, rows...)
		if len(all) > maxVariants {
			return nil, fmt.Sprintf("the line stands for more than %d phrases", maxVariants)
		}
		if x.at >= len(x.src) {
			return nil, fmt.Sprintf("%q is missing", string(closing))
		}
		if c := x.src[x.at]; c != '|' {
			if c != closing {
				return nil, fmt.Sprintf("%q where %q is due", string(c), string(closing))
			}
			x.at++
			return all, ""
		}
	}
}

func product(rows, options []string) []string {
	out := make([]string, 0, len(rows)*len(options))
	for _, r := range rows {
		for _, o := range options {
			out = append(out, r+o)
		}
	}
	return out
}
