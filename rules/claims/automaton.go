package claims

import (
	"cmp"
	"slices"
)

// automaton finds all phrases in one pass. Words become symbols through a trie
// over bytes; a second trie over symbols holds the phrases. A phrase has at
// most maxPhraseSize words, so the cost is linear in the text.
type automaton struct {
	words   []wordNode
	first   [256]int32 // transitions of the word trie's root
	edges   map[edge]int32
	nodes   []phraseNode
	symbols int32
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
	out    []entry // what the phrase ending here means, at most one per layer and language
	weight int32   // bytes spelt out so far: the longer literal wins over the stem
	any    int32   // state after any one word, 0 for none
	leaf   bool    // no edges leave it
}

type edge struct {
	node, symbol int32
}

func newAutomaton() *automaton {
	return &automaton{words: make([]wordNode, 1), edges: map[edge]int32{}, nodes: []phraseNode{{leaf: true}}}
}

// add stores a phrase. An entry of the same layer and language that is there
// already is replaced: the user's lexicons come last.
func (a *automaton) add(words []pattern, e entry) {
	node := int32(0)
	for _, w := range words {
		node = a.step(node, w)
	}
	out := &a.nodes[node].out
	same := func(o entry) bool { return o.layer == e.layer && (o.lang == e.lang || e.user && !o.user) }
	*out = append(slices.DeleteFunc(*out, same), e)
}

// step returns the state after w, making it if need be.
func (a *automaton) step(node int32, w pattern) int32 {
	if w.text == "" {
		if a.nodes[node].any == 0 {
			a.nodes[node].any = a.newNode(node, 0)
		}
		return a.nodes[node].any
	}
	k := edge{node, a.symbol(w)}
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
func (a *automaton) symbol(w pattern) int32 {
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
		a.symbols++
		*slot = a.symbols
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

// scan returns the phrases of f, by first token, then longest and most
// literal first.
func (a *automaton) scan(f *folded) []hit {
	symbols := make([]int32, 0, len(f.tokens))
	starts := make([]int32, len(f.tokens)+1)
	for i := range f.tokens {
		symbols = a.symbolsOf(f.word(i), symbols)
		starts[i+1] = int32(len(symbols))
	}
	var hits []hit
	var states, after []int32
	for i := range f.tokens {
		states = append(states[:0], 0)
		from := len(hits)
		for j := i; j < len(f.tokens) && len(states) > 0; j++ {
			after = after[:0]
			for _, s := range states {
				for _, symbol := range symbols[starts[j]:starts[j+1]] {
					if to, ok := a.edges[edge{s, symbol}]; ok {
						after = append(after, to)
					}
				}
				if to := a.nodes[s].any; to != 0 && f.tokens[j].kind != tokenBreak {
					after = append(after, to)
				}
			}
			states, after = after, states
			keep := states[:0]
			for _, s := range states {
				if len(a.nodes[s].out) > 0 {
					hits = append(hits, hit{int32(i), int32(j), s})
				}
				if !a.nodes[s].leaf {
					keep = append(keep, s)
				}
			}
			states = keep
		}
		a.order(hits[from:])
	}
	return hits
}

func (a *automaton) order(hits []hit) {
	if len(hits) < 2 {
		return
	}
	slices.SortFunc(hits, func(x, y hit) int {
		return cmp.Or(cmp.Compare(y.last, x.last), cmp.Compare(a.nodes[y.node].weight, a.nodes[x.node].weight),
			cmp.Compare(x.node, y.node))
	})
}
