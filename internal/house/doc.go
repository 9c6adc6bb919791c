// Package house holds the house to its plan: who may import whom, what the pure rooms may touch, that every text has
// a key and every key a text, and that what is deployed asks for its secrets. It holds tests alone; nothing imports it.
package house
