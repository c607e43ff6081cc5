package export

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// A run in the making, and an earlier run moved aside, are hidden folders
// beside the target: .NAME.plyroom-HOST-PID-RANDOM.new or .old. The name says
// which process they belong to, so that a later run can tell a leftover from a
// neighbour still at work.
const (
	newSuffix = "new"
	oldSuffix = "old"
)

var besideName = regexp.MustCompile(`^\.plyroom-([0-9a-f]{8})-([0-9]+)-[0-9a-f]{12}\.(new|old)$`)

// foreignAge is how long a hidden folder made on another host is left alone.
const foreignAge = 7 * 24 * time.Hour

// beside names a hidden folder next to the target.
func beside(target, suffix string) string {
	var r [6]byte
	_, _ = rand.Read(r[:]) // never fails
	name := fmt.Sprintf(".%s.plyroom-%s-%d-%s.%s", shortBase(target), hostTag(), os.Getpid(), hex.EncodeToString(r[:]), suffix)
	return filepath.Join(filepath.Dir(target), name)
}

// shortBase keeps the hidden name within the limits of a file system.
func shortBase(target string) string {
	base := filepath.Base(target)
	if len(base) > 100 {
		sum := sha256.Sum256([]byte(base))
		return hex.EncodeToString(sum[:8])
	}
	return base
}

func hostTag() string {
	host, _ := os.Hostname()
	sum := sha256.Sum256([]byte(host))
	return hex.EncodeToString(sum[:4])
}

// cleanUp removes what killed runs of the same target left beside it. An
// earlier run that was moved aside while nothing took its place is put back.
// Failures are passed over: they hinder nobody.
func cleanUp(target string) {
	parent := filepath.Dir(target)
	entries, err := os.ReadDir(parent)
	if err != nil {
		return
	}
	prefix := "." + shortBase(target)
	for _, e := range entries {
		rest, ok := strings.CutPrefix(e.Name(), prefix)
		if !ok || !e.IsDir() {
			continue
		}
		m := besideName.FindStringSubmatch(rest)
		if m == nil || !abandoned(e, m[1], m[2]) {
			continue
		}
		path := filepath.Join(parent, e.Name())
		if m[3] == oldSuffix {
			if _, err := os.Lstat(target); errors.Is(err, fs.ErrNotExist) {
				_ = os.Rename(path, target)
				continue
			}
		}
		_ = os.RemoveAll(path)
	}
}

// abandoned reports whether the process that made a hidden folder is gone. Of
// another host's processes nothing is known, so age decides.
func abandoned(e fs.DirEntry, host, pid string) bool {
	if host != hostTag() {
		info, err := e.Info()
		return err == nil && time.Since(info.ModTime()) > foreignAge
	}
	n, err := strconv.Atoi(pid)
	if err != nil || n <= 0 {
		return false
	}
	if n == os.Getpid() {
		return false
	}
	p, err := os.FindProcess(n)
	if err != nil {
		return true
	}
	err = p.Signal(syscall.Signal(0))
	return errors.Is(err, os.ErrProcessDone) || errors.Is(err, syscall.ESRCH)
}
