// Package document keeps the working copy of every design that is open: its
// text with a version, the steps that can be undone, how it stands to the file
// on disk, and the copy of unsaved work that outlives a crash. It follows
// changes of the files on disk.
//
// Nothing outside the folder is read or written: all access goes through one
// os.Root. The package knows nothing of designs but that they are text whose
// head names the machine; the lines of a working copy end with a line feed,
// however its file ends them.
package document
