package claims

import (
	"cmp"
	"slices"
)

// automaton finds all phrases in one pass. Words become symbols through a trie
// over bytes; a second trie over symbols holds the phrases. A phrase has at
// most maxPhraseSize words, so the cost is linear in the text.
type automaton struct {
	words []wordNode
	first [256]int32 // transitions of the word trie's root
	edges map[edge]int32
	begin []int32 // transitions of the phrase trie's root, by symbol
	nodes []phraseNode
}

// wordNode is a state of the word trie. exact and stem are symbols, 0 for none.
type wordNode struct {
	next  []byteEdge
	exact int32
	stem  int32
}

type byteEdge struct {
	b  byte
	to int32
}

// phraseNode is a state of the phrase trie.
type phraseNode struct {
	out    []*entry // meanings of the phrase ending here, by layer, one per layer and language
	weight int32    // bytes spelt out so far: the longer literal wins over the stem
	any    int32    // state after any one word, 0 for none
	only   int32    // the language all meanings share, or mixed
	leaf   bool     // no edges leave it
	user   bool     // a meaning is the user's
}

// mixed marks a phrase that tells nothing of the language of the text.
const mixed = -1

type edge struct {
	node, symbol int32
}

func newAutomaton() *automaton {
	return &automaton{words: make([]wordNode, 1), edges: map[edge]int32{}, begin: make([]int32, 1), nodes: []phraseNode{{leaf: true}}}
}

// add stores a phrase. An entry of the same layer and language that is there
// already is replaced: the user's lexicons come last.
func (a *automaton) add(words []*pattern, e *entry) {
	node := int32(0)
	for _, w := range words {
		node = a.step(node, w)
	}
	n := &a.nodes[node]
	same := func(o *entry) bool { return o.layer == e.layer && (o.lang == e.lang || e.user && !o.user) }
	n.out = append(slices.DeleteFunc(n.out, same), e)
	slices.SortStableFunc(n.out, func(x, y *entry) int { return cmp.Compare(x.layer, y.layer) })
	n.user = n.user || e.user
	n.only = int32(e.rank)
	if e.lang == "" || slices.ContainsFunc(n.out, func(o *entry) bool { return o.lang != e.lang }) {
		n.only = mixed
	}
}

// step returns the state after w, making it if need be.
func (a *automaton) step(node int32, w *pattern) int32 {
	if w.text == "" {
		if a.nodes[node].any == 0 {
			a.nodes[node].any = a.newNode(node, 0)
		}
		return a.nodes[node].any
	}
	symbol := a.symbol(w)
	if node == 0 {
		if a.begin[symbol] == 0 {
			a.begin[symbol] = a.newNode(node, len(w.text))
		}
		return a.begin[symbol]
	}
	k := edge{node, symbol}
	to, ok := a.edges[k]
	if !ok {
		to = a.newNode(node, len(w.text))
		a.edges[k] = to
	}
	return to
}

func (a *automaton) newNode(parent int32, spelt int) int32 {
	a.nodes[parent].leaf = false
	a.nodes = append(a.nodes, phraseNode{weight: a.nodes[parent].weight + int32(spelt), leaf: true})
	return int32(len(a.nodes) - 1)
}

// symbol returns the number of a word or stem, making it if need be.
func (a *automaton) symbol(w *pattern) int32 {
	state := int32(0)
	for i := range len(w.text) {
		to := a.nextState(state, w.text[i])
		if to == 0 {
			a.words = append(a.words, wordNode{})
			to = int32(len(a.words) - 1)
			if state == 0 {
				a.first[w.text[i]] = to
			} else {
				n := &a.words[state]
				n.next = append(n.next, byteEdge{w.text[i], to})
			}
		}
		state = to
	}
	slot := &a.words[state].exact
	if w.stem {
		slot = &a.words[state].stem
	}
	if *slot == 0 {
		*slot = int32(len(a.begin))
		a.begin = append(a.begin, 0)
	}
	return *slot
}

func (a *automaton) nextState(state int32, b byte) int32 {
	if state == 0 {
		return a.first[b]
	}
	for _, e := range a.words[state].next {
		if e.b == b {
			return e.to
		}
	}
	return 0
}

// symbolsOf appends the symbols of a word: its stems and itself.
func (a *automaton) symbolsOf(word []byte, dst []int32) []int32 {
	state := int32(0)
	for _, b := range word {
		if state = a.nextState(state, b); state == 0 {
			return dst
		}
		if s := a.words[state].stem; s != 0 {
			dst = append(dst, s)
		}
	}
	if s := a.words[state].exact; s != 0 {
		dst = append(dst, s)
	}
	return dst
}

// hit is a phrase found: tokens first to last, both included.
type hit struct {
	first, last int32
	node        int32
}

// scanner holds the memory of a scan for the next one.
type scanner struct {
	symbols       []int32
	starts        []int32 // of each token's symbols
	states, after []int32
	hits          []hit
}

// scan returns the phrases of f, by first token, then the user's own, longest
// and most literal first. The slice is overwritten by the next scan.
func (s *scanner) scan(a *automaton, f *folded) []hit {
	s.symbols, s.starts, s.hits = s.symbols[:0], append(s.starts[:0], 0), s.hits[:0]
	for i := range f.tokens {
		s.symbols = a.symbolsOf(f.word(i), s.symbols)
		s.starts = append(s.starts, int32(len(s.symbols)))
	}
	for i := range f.tokens {
		if s.starts[i] == s.starts[i+1] {
			continue // no phrase begins with this word
		}
		from := len(s.hits)
		s.states = append(s.states[:0], 0)
		for j := i; j < len(f.tokens) && len(s.states) > 0; j++ {
			s.advance(a, j, f.tokens[j].kind != tokenBreak)
			keep := s.states[:0]
			for _, n := range s.states {
				if len(a.nodes[n].out) > 0 {
					s.hits = append(s.hits, hit{int32(i), int32(j), n})
				}
				if !a.nodes[n].leaf {
					keep = append(keep, n)
				}
			}
			s.states = keep
		}
		a.order(s.hits[from:])
	}
	return s.hits
}

// advance moves all states over token j.
func (s *scanner) advance(a *automaton, j int, passable bool) {
	s.after = s.after[:0]
	for _, n := range s.states {
		for _, symbol := range s.symbols[s.starts[j]:s.starts[j+1]] {
			to := int32(0)
			if n == 0 {
				to = a.begin[symbol]
			} else {
				to = a.edges[edge{n, symbol}]
			}
			if to != 0 {
				s.after = append(s.after, to)
			}
		}
		if to := a.nodes[n].any; to != 0 && passable {
			s.after = append(s.after, to)
		}
	}
	s.states, s.after = s.after, s.states
}

func (a *automaton) order(hits []hit) {
	if len(hits) < 2 {
		return
	}
	slices.SortFunc(hits, func(x, y hit) int {
		if n, m := a.nodes[x.node].user, a.nodes[y.node].user; n != m {
			if n {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(y.last, x.last), cmp.Compare(a.nodes[y.node].weight, a.nodes[x.node].weight),
			cmp.Compare(x.node, y.node))
	})
}
