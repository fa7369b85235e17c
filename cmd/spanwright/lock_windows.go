package main

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// lock takes a file for this process alone, until it is closed or the process
// ends in whatever way: errLocked where another process has it. The byte that is
// locked lies behind any text, so that the file can still be read.
func lock(f *os.File) error {
	const how = windows.LOCKFILE_EXCLUSIVE_LOCK | windows.LOCKFILE_FAIL_IMMEDIATELY
	err := windows.LockFileEx(windows.Handle(f.Fd()), how, 0, 1, 0, &windows.Overlapped{OffsetHigh: 1 << 30})
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return errLocked
	}
	return err
}
