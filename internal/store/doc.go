// Package store keeps everything that must survive: gorm on SQLite and on Postgres, the same rows and the same tests
// on both. It knows no rule of the hall and decides nothing about rights; every query of a society's rows carries
// the society in its SQL, so that what one may not see is not found.
package store
