// Package seed holds the knowledge that ships, one fact a row with its source. It holds data alone and never code.
package seed

import "embed"

// Files are the tables.
//
//go:embed *.csv
var Files embed.FS

// Demo is the demo's scenario: an invented society, its people, places and finds of real fungi.
//
//go:embed demo/*.csv
var Demo embed.FS
