package main

import (
	"errors"
	"os"
	"os/exec"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"counterfoil": main,
	})
}

// The scripts type the commands a user types and read what a user reads.
// `exits N counterfoil …` demands the exit status, and that every output follows
// its schema; `hex FILE DIGITS` writes
// bytes that a script cannot hold; `picture` and `plate` draw, `located` writes a
// position into a picture, `within` searches a folder and `fill` fills in a sheet,
// see picture_test.go; `validates FILE` holds NDJSON against its
// schema; `holds FILE SHEET PATTERN` looks for a row.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "../../fixtures/scripts",
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "hex": writeHex, "validates": validates, "holds": holds, "picture": drawPicture, "located": locate, "within": within, "plate": drawPlate, "fill": fillCell, "pictured": pictured,
		},
		RequireExplicitExec: true,
	})
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits N command [argument...]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
	if args[1] == "counterfoil" && (got == exitDone || got == exitPartial) && len(args) > 2 {
		checkOutputs(ts, args[2:])
	}
}

func writeHex(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 || len(args[1])%2 != 0 {
		ts.Fatalf("usage: hex file digits")
	}
	data := make([]byte, len(args[1])/2)
	for i := range data {
		n, err := strconv.ParseUint(args[1][2*i:2*i+2], 16, 8)
		ts.Check(err)
		data[i] = byte(n)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o644))
}
