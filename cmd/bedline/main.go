// Command bedline estimates garden beds, short walks and their edging: as a service, or one job from a file.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/alecthomas/kong"

	"bedline/estimate"
)

// program is the command line.
type program struct {
	Serve       serveCommand       `cmd:"" help:"Answer HTTP requests."`
	Estimate    estimateCommand    `cmd:"" help:"Estimate one job from a file, with no server."`
	Supply      supplyCommand      `cmd:"" help:"Buy bare quantities, or for several jobs together, with no server."`
	Calibrate   calibrateCommand   `cmd:"" help:"Find better rates, allowances and compaction factors from past jobs, with no server."`
	Prices      pricesCommand      `cmd:"" help:"Check, import and export price lists."`
	Migrate     migrateCommand     `cmd:"" help:"Bring a database to the schema of this program."`
	Healthcheck healthcheckCommand `cmd:"" help:"Ask a service on this machine whether it is ready; for containers without a shell."`
	Version     versionCommand     `cmd:"" help:"Say which version this is."`
}

// streams are the standard streams of the program.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], streams{os.Stdin, os.Stdout, os.Stderr})
	stop()
	os.Exit(code)
}

// exit asks for an exit code after everything worth saying has been said.
type exit int

func (e exit) Error() string { return fmt.Sprintf("exit %d", int(e)) }

// run runs a command line and gives the exit code: 0 for success, 1 for a refusal or failure, 2 for wrong usage.
func run(ctx context.Context, args []string, std streams) int {
	var p program
	ended := -1
	parser, err := kong.New(&p, kong.Name("bedline"), kong.Description("Estimates for garden beds, short walks and paver edging."),
		kong.Writers(std.out, std.err), kong.Exit(func(code int) { ended = code }), kong.UsageOnError())
	if err != nil {
		fmt.Fprintln(std.err, "bedline:", err)
		return 2
	}
	command, err := parser.Parse(args)
	if ended >= 0 {
		return ended // help was asked for and given
	}
	if err != nil {
		fmt.Fprintln(std.err, "bedline:", err)
		return 2
	}
	command.BindTo(ctx, (*context.Context)(nil))
	command.Bind(std)
	err = command.Run()
	var code exit
	switch {
	case err == nil:
		return 0
	case errors.As(err, &code):
		return int(code)
	}
	fmt.Fprintln(std.err, "bedline:", err)
	return 1
}

type versionCommand struct{}

// Run prints the version.
func (versionCommand) Run(std streams) error {
	_, err := fmt.Fprintf(std.out, "bedline %s, engine %s\n", release, estimate.Version)
	return err
}
