// Package claims reads what a listing's text claims the item to be, and the
// other things sellers say that a careful buyer wants to see quoted.
//
// It judges words, never the part: "genuine" means that the text says so. It
// knows English, German, French, Spanish, Italian, Polish, Russian and Chinese.
// The phrases are common practice of the trade, written from memory; they and
// the labelled texts under testdata are invented, and review by people whose
// first language is one of these is wanted.
//
// The files: claims.go the words and types, engine.go building and reading,
// decide.go how phrases make a claim, page.go negation and scope, fold.go how
// texts are made comparable, automaton.go the search, lexicon.go the format of
// the lexicon files, disguise.go makers' names in disguise.
//
// # Lexicon files
//
// A lexicon is a text file in UTF-8, one phrase per line. "#" starts a comment.
//
//	lang de              # language of the phrases
//	bind after last      # where the noun of a claim word stands
//
//	[genuine]            # a stance; its phrases follow
//	original
//	originalteil*        # a stem: more letters may follow
//
//	[hedge oem-quality]  # a stance and a code of its own
//	(oe|oem) [norm] qualität
//
//	[genuine packaging scope=packaging]   # a noun fixed for all its phrases
//	ovp
//
// In a phrase, (a|b) is either, [a] is a or nothing, _ is any one word, and
// brackets nest. They work inside words too: original(e|es), and in Chinese,
// where every character is a word: (原厂|原装)件. A line may stand for 3000
// phrases of up to 12 words each. Case, width, accents, apostrophes and hyphens
// do not matter: write them as people do.
//
// "bind after" says that a claim word's noun follows ("genuine kit"), "bind
// before" that it comes first ("kit d'origine"); either way the other side is
// tried when there is none. "last" says that the last noun of a row is its
// head ("turbo gasket kit"), "first" the first ("kit de joints de turbo").
//
// The sections are the stances (genuine, compatible, hedge, copy, condition,
// no-returns, off-platform, branding, vague-origin, domestic-made, surplus,
// logo-removed, authorised-dealer, reference-only, upgrade, gift) and these:
//
//	[label]       looks like a stance and is none: "original number"
//	[noun kit]    nouns a claim is bound to; also unit, component, core, photo,
//	              packaging, paper, vehicle
//	[not]         negations
//	[with]        words after which another thing than the item is named
//	[words]       function words, over which a search for a noun reaches
//	[unbranded]   what a brand field says when there is no brand
//
// Under compatible, three codes are weighed apart: "fits" counts only before a
// maker's name or a part number, "compatible-with" needs a maker's name where
// the listing leads with one, and neither they nor "replaces" stand against a
// claim to be genuine without one. Any other code says plainly that the maker
// did not make the item.
//
// At one place the longest phrase wins, then the one with more letters spelt
// out. A phrase may stand in one section only. A phrase of a lexicon handed to
// New goes before all built-in ones that begin at the same place; under [label]
// it takes their meaning away.
package claims
