// Package migrations carries the numbered SQL of both databases. A file that has been released is never changed;
// the next change is the next number, in both folders.
package migrations

import "embed"

// Files holds sqlite/ and postgres/.
//
//go:embed sqlite/*.sql postgres/*.sql
var Files embed.FS
