package report

import (
	"slices"

	"counterfoil/rules"
)

// CanAsk reports whether messages know what a need's Ask asks for.
func CanAsk(ask string) bool {
	s, ok := needAsks[ask]
	return ok && whole(s) && slices.ContainsFunc(needOrder, func(n needAsk) bool { return n.ask == ask })
}

// CanAskFamily reports whether messages know what findings of a family raise.
func CanAskFamily(f rules.Family) bool { return whole(familyAsks[f]) }

func whole(s said) bool { return !slices.Contains(s[:], "") }
