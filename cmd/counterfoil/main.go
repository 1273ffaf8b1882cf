// Counterfoil reads saved listings of branded vehicle parts and ranks those
// that need checking, with the evidence for every word.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime"
	"strings"

	"github.com/alecthomas/kong"
)

// version is the tool's version, recorded with every run.
const version = "1.0.0"

// Exit codes.
const (
	exitDone    = 0
	exitFailed  = 1
	exitUsage   = 2
	exitPartial = 3 // done, but some input could not be read
)

func main() {
	room := collect()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the program where it stands
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	runtime.KeepAlive(room)
	os.Exit(code)
}

type commands struct {
	Audit     auditCmd     `cmd:"" help:"Rank the listings of saved pages and tables by what needs checking."`
	Extract   extractCmd   `cmd:"" help:"Print the listings that were read, one JSON object a line."`
	Compare   compareCmd   `cmd:"" help:"Say what changed between two looks at a market."`
	Rules     rulesCmd     `cmd:"" help:"List the rules, or print one in full."`
	Pack      packCmd      `cmd:"" help:"Make an evidence package of a listing, or check packages."`
	Calibrate calibrateCmd `cmd:"" help:"Learn weights from outcomes: what was confirmed about listings."`
	Casebook  casebookCmd  `cmd:"" help:"Look into what audits kept, record outcomes, forget."`
	Version   versionCmd   `cmd:"" help:"Print the version."`
}

// streams are the outputs of a command: results go to out, all else to err.
type streams struct {
	ctx      context.Context
	out, err io.Writer
}

const about = `Counterfoil compares offers of branded vehicle parts that you saved from a browser
or exported as tables, and hands back a ranked workbook of those that need
checking, with the evidence for every word. It flags, a person decides.`

// run is the whole program.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	var cli commands
	exited := -1
	parser, err := kong.New(&cli, kong.Name("counterfoil"), kong.Description(about),
		kong.Writers(stdout, stderr), kong.Exit(func(code int) { exited = code }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, Tree: true}))
	if err != nil {
		return say(stderr, err)
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	parsed, err := parser.Parse(args)
	if exited >= 0 {
		return exited // help was printed
	}
	if err != nil {
		say(stderr, err)
		fmt.Fprintln(stderr, "counterfoil: hint: counterfoil --help lists the commands")
		return exitUsage
	}
	err = parsed.Run(&streams{ctx: ctx, out: stdout, err: stderr})
	var done exitError
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &done):
		return int(done)
	case errors.Is(err, context.Canceled):
		text := "stopped; nothing was written"
		if h := (halted{}); errors.As(err, &h) {
			text = h.text
		}
		fmt.Fprintln(stderr, "counterfoil: "+text)
		return exitFailed
	}
	return say(stderr, err)
}

// exitError ends a command with an exit code and no further words.
type exitError int

func (e exitError) Error() string { return fmt.Sprintf("exit %d", int(e)) }

// hinted is an error with advice on what to do.
type hinted struct {
	error
	hint string
}

func (h hinted) Unwrap() error { return h.error }

// say prints an error, then its hint.
func say(stderr io.Writer, err error) int {
	for i, line := range strings.Split(err.Error(), "\n") {
		if i == 0 || !strings.HasPrefix(line, "\t") {
			line = "counterfoil: error: " + line
		}
		fmt.Fprintln(stderr, line)
	}
	var h hinted
	if errors.As(err, &h) {
		fmt.Fprintln(stderr, "counterfoil: hint: "+h.hint)
	}
	return exitFailed
}

type versionCmd struct{}

func (versionCmd) Run(s *streams) error {
	_, err := fmt.Fprintln(s.out, "counterfoil", version)
	return err
}
