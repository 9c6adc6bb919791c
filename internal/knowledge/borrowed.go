package knowledge

import (
	"sync"

	"forayhall/internal/taxon"
)

// mostBorrowings bounds what is remembered, some 2 MB: the common names that ship are a few thousand.
const mostBorrowings = 20000

// borrowings is what common names were found to borrow. The names of a snapshot never change, so that an answer stays
// true; a list asks for the same few hundred each time.
type borrowings struct {
	mu    sync.RWMutex
	found map[[2]string]taxon.Borrowing
}

// Borrows is taxon.Borrows under the snapshot's names, remembered.
func (s *Snapshot) Borrows(common, scientific string) taxon.Borrowing {
	pair := [2]string{common, scientific}
	s.borrowed.mu.RLock()
	b, known := s.borrowed.found[pair]
	s.borrowed.mu.RUnlock()
	if known {
		return b
	}
	b = taxon.Borrows(s.Names, common, scientific)
	s.borrowed.mu.Lock()
	defer s.borrowed.mu.Unlock()
	if s.borrowed.found == nil || len(s.borrowed.found) >= mostBorrowings {
		s.borrowed.found = map[[2]string]taxon.Borrowing{}
	}
	s.borrowed.found[pair] = b
	return b
}
