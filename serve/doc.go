// Package serve is the server behind the page: working copies of the designs in
// one folder, their judgement in the background, news to all windows, long work,
// and the page itself, on the loopback address of this computer alone.
//
// Every address begins with a secret that is made anew for each run; requests
// that do not come from the page are refused. What the page is shown is made by
// package view; nothing here computes engineering.
package serve
