// Package release says which program this is: its name and version. It
// computes nothing and depends on nothing of ours.
package release

import (
	"runtime"
	"runtime/debug"
)

// Name is what the program is called.
const Name = "spanwright"

// Version is the version of the program, as in CHANGELOG.md.
const Version = "0.1.0"

// Tool names the program in everything it writes.
type Tool struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

// This is the program itself.
func This() Tool { return Tool{Name: Name, Version: Version} }

// Build says how the program was built, for reports of faults.
type Build struct {
	Go       string `json:"go"`
	Platform string `json:"platform"`
	Revision string `json:"revision,omitempty"` // of the source, where the build knew it
	Modified bool   `json:"modified,omitempty"` // built from a changed source tree
}

// ThisBuild reads what the Go toolchain recorded.
func ThisBuild() Build {
	b := Build{Go: runtime.Version(), Platform: runtime.GOOS + "/" + runtime.GOARCH}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return b
	}
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			b.Revision = s.Value
		case "vcs.modified":
			b.Modified = s.Value == "true"
		}
	}
	return b
}
