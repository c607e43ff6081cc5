package remnant

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"
	"syscall"
)

// An owner is who holds a remnant: HOST-PROCESS-SESSION. It stands in file
// names, so that taking a remnant and saying who took it are one renaming.
type owner string

// newOwner names one session of this process.
func newOwner() owner {
	var r [6]byte
	_, _ = rand.Read(r[:]) // never fails
	return owner(fmt.Sprintf("%s-%d-%s", hostTag(), os.Getpid(), hex.EncodeToString(r[:])))
}

func hostTag() string {
	host, _ := os.Hostname()
	sum := sha256.Sum256([]byte(host))
	return hex.EncodeToString(sum[:4])
}

// pid is the owner's process, and false where that is of another host.
func (o owner) pid() (int, bool) {
	fields := strings.Split(string(o), "-")
	if len(fields) != 3 || fields[0] != hostTag() {
		return 0, false
	}
	n, err := strconv.Atoi(fields[1])
	return n, err == nil && n > 0
}

// dead reports whether the owner's process is known to have ended. A process
// number that was given out again counts as alive: then the remnant stays held
// until it is released by hand, which is the safe side.
func (o owner) dead() bool {
	pid, here := o.pid()
	if !here || pid == os.Getpid() {
		return false
	}
	p, err := os.FindProcess(pid)
	if err != nil {
		return true
	}
	err = p.Signal(syscall.Signal(0))
	return errors.Is(err, os.ErrProcessDone) || errors.Is(err, syscall.ESRCH)
}

// words names the owner for messages.
func (o owner) words() string {
	if pid, here := o.pid(); here {
		return fmt.Sprintf("process %d", pid)
	}
	return "a run on another machine"
}
