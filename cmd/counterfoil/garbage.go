package main

import (
	"os"
	"runtime/debug"
)

// The collector runs when garbage has reached garbageShare percent of what is in
// use and of a room that nobody writes to, which costs no memory. Go's default
// would double the memory of a batch, of which all is in use from the reading to
// the last report; without the room the collector would run some twenty times a
// second while pages are read, since little is in use then.
const (
	garbageShare = 15
	garbageRoom  = 160 << 20 // bytes; 24 MB gather in any case
)

// collect sets that, unless the user has set a share of his own. The room is to be
// kept for as long as the program runs.
func collect() (room []byte) {
	if os.Getenv("GOGC") != "" {
		return nil
	}
	debug.SetGCPercent(garbageShare)
	return make([]byte, garbageRoom)
}
