package pgtest

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/user"
	"strconv"
	"sync"
	"syscall"
)

// cleanerScript waits until its standard input ends, which also happens when the test process is killed; then it
// ends the server if that still runs and removes the folder. A process is the server only if it works in the
// server's data folder: the number alone may have been given to another since.
const cleanerScript = `
read -r _
if read -r pid 2>/dev/null <"$1/data/postmaster.pid"; then
	while [ "$(readlink "/proc/$pid/cwd")" = "$1/data" ]; do
		kill -QUIT "$pid" 2>/dev/null
		sleep 0.1
	done
fi
rm -rf -- "$1"
`

// running refers to every cleaner, by folder, until it is closed: unreachable, its pipe would be closed by the garbage
// collector and the server would end under the tests.
var running sync.Map

type cleaner struct {
	dir   string
	stdin io.Closer
	cmd   *exec.Cmd
}

// Close asks for the clean-up and waits until it is done.
func (c *cleaner) Close() error {
	defer running.Delete(c.dir)
	return errors.Join(c.stdin.Close(), c.cmd.Wait())
}

func startCleaner(dir string) (io.Closer, error) {
	cmd := exec.Command("/bin/sh", "-c", cleanerScript, "forayhall-pg-cleaner", dir)
	cmd.Dir = "/"
	cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true}
	stdin, err := cmd.StdinPipe()
	if err != nil {
		return nil, err
	}
	if err := cmd.Start(); err != nil {
		return nil, fmt.Errorf("start the cleaner: %w", err)
	}
	c := &cleaner{dir, stdin, cmd}
	running.Store(dir, c)
	return c, nil
}

// serverUser is nil for an ordinary user, who may run Postgres; root may not, so that "postgres" does.
func serverUser() (*syscall.Credential, error) {
	if os.Geteuid() != 0 {
		return nil, nil
	}
	account, err := user.Lookup("postgres")
	if err != nil {
		return nil, fmt.Errorf("root may not run Postgres: %w", err)
	}
	uid, err := strconv.ParseUint(account.Uid, 10, 32)
	if err != nil {
		return nil, err
	}
	gid, err := strconv.ParseUint(account.Gid, 10, 32)
	if err != nil {
		return nil, err
	}
	return &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}, nil
}
