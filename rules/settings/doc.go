// Package settings reads the user's own facts: maker profiles, authorised
// prices, exchange rates, equivalent part numbers and weights. Each file is
// optional; a file that is wrong stops the run before it starts, with line
// and column.
package settings
