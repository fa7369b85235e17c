//go:build unix

package main

import (
	"os/exec"
	"syscall"
)

// detach takes a command out of the terminal's reach, so that Ctrl-C, which ends
// this program, does not end a browser that it started.
func detach(cmd *exec.Cmd) { cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true} }
