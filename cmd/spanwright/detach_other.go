//go:build !unix

package main

import "os/exec"

// detach has nothing to do where Ctrl-C reaches this program alone.
func detach(*exec.Cmd) {}
