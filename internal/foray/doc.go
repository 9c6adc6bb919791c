// Package foray holds the words of a foray event and its rules: numbers, slips, how a collection is named and
// where it is. It is pure: no clock, no database. Both facts about a collection move by adding rows, and this
// package says which row may follow which; it must never forget one.
package foray
