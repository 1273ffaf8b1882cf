// Package userrules reads a user's own rules: conditions on the facts of a
// listing, built-in rules switched off and thresholds changed.
//
// A file is read once, before the run; whatever is wrong in it is told with
// line and column, inside a condition too. A condition sees nothing but the
// facts of [Facts]: no clock, no file, no other listing. Nothing of it loops:
// its cost is its length times that of the texts it reads.
//
// A fact that the input does not show is unknown. A rule whose condition names
// an unknown fact, be it only after an 'or', is not assessed: what is not
// observed speaks neither for nor against a listing.
//
// The files: facts.go the table of facts, read.go the file, place.go places
// inside a YAML text, compile.go conditions, statement.go sentences with facts
// in them, thresholds.go the numbers that may be changed.
package userrules
