package userrules

import (
	"fmt"
	"strings"
)

// piece is a stretch of a statement: a text, or the fact that fills it.
type piece struct {
	text    string
	fact    int // -1 for a text
	percent bool
}

// asPercent is what follows the name of a fact that is printed as a
// percentage.
const asPercent = "_percent"

// parseStatement splits a statement at its {names}. An error is a mistake.
func parseStatement(s string) ([]piece, error) {
	var list []piece
	for at := 0; s != ""; {
		open := strings.IndexAny(s, "{}")
		if open < 0 {
			return append(list, piece{text: s, fact: -1}), nil
		}
		if open > 0 {
			list = append(list, piece{text: s[:open], fact: -1})
			at += len([]rune(s[:open]))
		}
		end := strings.IndexByte(s[open:], '}')
		if s[open] == '}' || end < 0 {
			return nil, mistake{at, "a brace without its partner; a fact is written {price.ratio}"}
		}
		name := s[open+1 : open+end]
		p, err := pieceOf(name)
		if err != nil {
			return nil, mistake{at + 1, err.Error()}
		}
		list = append(list, p)
		at += len([]rune(name)) + 2
		s = s[open+end+1:]
	}
	return list, nil
}

// pieceOf finds the fact a name in braces means: its full name, the name of a
// field of the listing, or the end of the name where only one fact has it.
func pieceOf(name string) (piece, error) {
	if i, err := factOf(name); err == nil {
		return piece{fact: i}, nil
	} else if plain, ok := strings.CutSuffix(name, asPercent); ok {
		i, err := factOf(plain)
		if err != nil {
			return piece{}, err
		}
		if Facts[i].Unit != UnitShare {
			return piece{}, fmt.Errorf("%s is no share, so it has no percentage", Facts[i].Name)
		}
		return piece{fact: i, percent: true}, nil
	} else {
		return piece{}, err
	}
}

func factOf(name string) (int, error) {
	if i, ok := factByName[name]; ok {
		return i, nil
	}
	if i, ok := factByName["listing."+name]; ok {
		return i, nil
	}
	var found []int
	for i := range Facts {
		if _, last, _ := strings.Cut(Facts[i].Name, "."); last == name {
			found = append(found, i)
		}
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return 0, fmt.Errorf("no fact is called %q; `counterfoil rules --facts` lists them", name)
	}
	names := make([]string, len(found))
	for i, f := range found {
		names[i] = Facts[f].Name
	}
	return 0, fmt.Errorf("%q may mean %s", name, strings.Join(names, " or "))
}

// NotObserved stands in a statement for a fact that is unknown.
const NotObserved = "(not observed)"

// Statement fills in the rule's sentence. value gives a fact by its number,
// with its currency if it is money; ok is false when it is unknown.
func (r *Rule) Statement(value func(fact int) (v any, currency string, ok bool)) string {
	var b strings.Builder
	for _, p := range r.pieces {
		if p.fact < 0 {
			b.WriteString(p.text)
			continue
		}
		v, currency, ok := value(p.fact)
		share, isNumber := v.(float64)
		switch {
		case !ok:
			b.WriteString(NotObserved)
		case p.percent && isNumber:
			fmt.Fprintf(&b, "%.0f %%", share*100)
		default:
			b.WriteString(Facts[p.fact].Print(v, currency))
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}
