package dbtest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"bedline/db"
)

// Cluster is a Postgres server of one test, which may stop and start it. Its methods are not for use from several
// goroutines at once.
type Cluster struct {
	dir  string // data, socket and log
	bin  string // folder of the programs
	port int    // of loopback TCP, 0 for the socket only
	as   *account

	process *exec.Cmd
	exited  chan struct{} // closed when the process has ended
	release chan struct{} // closed to let go of the thread that started it
}

// account is the user that the server runs as when the test runs as root, which Postgres refuses to.
type account struct{ uid, gid uint32 }

// Private starts a cluster for this test alone, to be stopped and started at will. It listens on a socket, and on
// loopback TCP if tcp is set. It is removed when the test ends.
func Private(t testing.TB, tcp bool) *Cluster {
	t.Helper()
	c, err := newCluster(tcp)
	if err != nil {
		t.Fatalf("dbtest: %v", err)
	}
	t.Cleanup(func() {
		if err := c.remove(); err != nil {
			t.Errorf("dbtest: %v", err)
		}
	})
	return c
}

// Database creates an empty database with the current schema and returns its connection string.
func (c *Cluster) Database(t testing.TB) string {
	t.Helper()
	name := "bedline_test_" + suffix()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	defer cancel()
	err := execute(ctx, c.DSN("postgres"), "create database "+name)
	if err == nil {
		err = db.Migrate(ctx, c.DSN(name))
	}
	if err != nil {
		t.Fatalf("dbtest: create a database: %v", err)
	}
	return c.DSN(name)
}

// DSN is the connection string of a database of the cluster.
func (c *Cluster) DSN(database string) string {
	host, port := c.dir, 5432
	if c.port != 0 {
		host, port = "127.0.0.1", c.port
	}
	return fmt.Sprintf("host=%s port=%d user=postgres dbname=%s sslmode=disable", host, port, database)
}

// Stop ends the server at once, cutting its connections; what was committed stays.
func (c *Cluster) Stop(t testing.TB) {
	t.Helper()
	if err := c.stop(); err != nil {
		t.Fatalf("dbtest: %v", err)
	}
}

// Start starts a stopped server and waits until it answers.
func (c *Cluster) Start(t testing.TB) {
	t.Helper()
	if err := c.start(); err != nil {
		t.Fatalf("dbtest: %v", err)
	}
}

// Restart is Stop and Start.
func (c *Cluster) Restart(t testing.TB) {
	t.Helper()
	c.Stop(t)
	c.Start(t)
}

func newCluster(tcp bool) (_ *Cluster, err error) {
	c := &Cluster{}
	if c.bin, err = findPrograms(); err != nil {
		return nil, err
	}
	// Not the test's own temporary folder: the path of a socket ends at 107 bytes, and that folder is closed to others.
	if c.dir, err = os.MkdirTemp("", "bedline-pg-"); err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, c.remove())
		}
	}()
	if os.Geteuid() == 0 {
		if c.as, err = unprivileged(); err != nil {
			return nil, err
		}
		if err = os.Chown(c.dir, int(c.as.uid), int(c.as.gid)); err != nil {
			return nil, err
		}
	}
	if tcp {
		if c.port, err = freePort(); err != nil {
			return nil, err
		}
	}
	out, err := c.command(false, "initdb", "--pgdata", c.data(), "--username=postgres", "--auth=trust", "--no-sync",
		"--encoding=UTF8", "--locale=C.UTF-8").CombinedOutput()
	if err != nil {
		return nil, fmt.Errorf("initdb: %w\n%s", err, out)
	}
	return c, c.start()
}

func (c *Cluster) start() error {
	listen, port := "", 5432
	if c.port != 0 {
		listen, port = "127.0.0.1", c.port
	}
	log, err := os.OpenFile(c.logFile(), os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o600)
	if err != nil {
		return err
	}
	defer log.Close()
	cmd := c.command(true, "postgres", "-D", c.data(), "-k", c.dir, "-p", strconv.Itoa(port), "-c", "listen_addresses="+listen,
		"-c", "fsync=off", "-c", "synchronous_commit=off", "-c", "full_page_writes=off", "-c", "shared_buffers=32MB",
		"-c", "max_connections=60", "-c", "autovacuum=off",
		"-c", "jit=off", "-c", "wal_level=minimal", "-c", "max_wal_senders=0", "-c", "max_parallel_workers=0")
	cmd.Stdout, cmd.Stderr = log, log
	c.exited, c.release = make(chan struct{}), make(chan struct{})
	started := make(chan error)
	go func(exited, release chan struct{}) {
		// The kernel ends the server when the thread that started it ends, so this thread is kept for it.
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		err := cmd.Start()
		started <- err
		if err != nil {
			return
		}
		go func() {
			_ = cmd.Wait() // how it ended is in its log
			close(exited)
		}()
		<-release
	}(c.exited, c.release)
	if err := <-started; err != nil {
		return fmt.Errorf("start postgres: %w", err)
	}
	c.process = cmd
	return c.await()
}

// await waits until the server answers.
func (c *Cluster) await() error {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	for {
		conn, err := pgx.Connect(ctx, c.DSN("postgres"))
		if err == nil {
			return conn.Close(ctx)
		}
		select {
		case <-c.exited:
			return fmt.Errorf("postgres ended at once:\n%s", c.log())
		case <-ctx.Done():
			return fmt.Errorf("postgres does not answer: %w\n%s", err, c.log())
		case <-time.After(20 * time.Millisecond):
		}
	}
}

func (c *Cluster) stop() error {
	if c.process == nil {
		return nil
	}
	defer func() {
		close(c.release)
		c.process = nil
	}()
	if err := c.process.Process.Signal(os.Interrupt); err != nil && !errors.Is(err, os.ErrProcessDone) {
		return fmt.Errorf("stop postgres: %w", err)
	}
	select {
	case <-c.exited:
		return nil
	case <-time.After(20 * time.Second):
		_ = c.process.Process.Kill()
		<-c.exited
		return fmt.Errorf("postgres did not stop:\n%s", c.log())
	}
}

func (c *Cluster) remove() error {
	return errors.Join(c.stop(), os.RemoveAll(c.dir))
}

func (c *Cluster) data() string    { return filepath.Join(c.dir, "data") }
func (c *Cluster) logFile() string { return filepath.Join(c.dir, "log") }

func (c *Cluster) log() []byte {
	text, err := os.ReadFile(c.logFile())
	if err != nil {
		return []byte(err.Error())
	}
	lines := bytes.Split(text, []byte("\n"))
	return bytes.Join(lines[max(0, len(lines)-20):], []byte("\n"))
}

// command prepares a program; one that is tied ends with the thread that starts it.
func (c *Cluster) command(tied bool, program string, args ...string) *exec.Cmd {
	cmd := exec.Command(filepath.Join(c.bin, program), args...)
	cmd.Dir = c.dir
	cmd.Env = []string{"LC_ALL=C.UTF-8", "TZ=UTC", "PATH=" + os.Getenv("PATH")}
	cmd.SysProcAttr = attributes(c.as, tied)
	return cmd
}

// findPrograms returns the folder of initdb and postgres: the one in PATH, else the newest of Debian's.
func findPrograms() (string, error) {
	if path, err := exec.LookPath("initdb"); err == nil {
		if path, err = filepath.EvalSymlinks(path); err == nil && isProgram(filepath.Join(filepath.Dir(path), "postgres")) {
			return filepath.Dir(path), nil
		}
	}
	dirs, _ := filepath.Glob("/usr/lib/postgresql/*/bin") // fails only on a bad pattern
	slices.SortFunc(dirs, func(a, b string) int { return major(b) - major(a) })
	for _, dir := range dirs {
		if isProgram(filepath.Join(dir, "initdb")) && isProgram(filepath.Join(dir, "postgres")) {
			return dir, nil
		}
	}
	return "", errors.New("the programs of Postgres are missing; install them with\n\tapt-get install -y postgresql\n" +
		"or name a running server in " + EnvDatabase)
}

func major(bin string) int {
	n, err := strconv.Atoi(filepath.Base(filepath.Dir(bin)))
	if err != nil {
		return 0
	}
	return n
}

func isProgram(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular() && info.Mode().Perm()&0o111 != 0
}

// unprivileged finds an account for the server: postgres, where it is installed, else nobody.
func unprivileged() (*account, error) {
	var errs []error
	for _, name := range []string{"postgres", "nobody"} {
		u, err := user.Lookup(name)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		uid, err1 := strconv.ParseUint(u.Uid, 10, 32)
		gid, err2 := strconv.ParseUint(u.Gid, 10, 32)
		if err := errors.Join(err1, err2); err != nil {
			return nil, err
		}
		return &account{uid: uint32(uid), gid: uint32(gid)}, nil
	}
	return nil, fmt.Errorf("no account to run postgres as: %w", errors.Join(errs...))
}

func freePort() (int, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return 0, err
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port, nil
}
