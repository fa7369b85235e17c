// Package app holds the built page of the program: description, machine and
// ledger of one design. It computes nothing; the files under dist are built
// from the sources beside them (npm run build) and are part of the repository,
// so that the program builds without Node.
package app

import "embed"

// Files is the built page; index.html is at dist/index.html.
//
//go:embed all:dist
var Files embed.FS
