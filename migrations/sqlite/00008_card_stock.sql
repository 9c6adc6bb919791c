-- +goose Up
-- The paper on which a society prints its display cards, all lengths in millimetres. A row changes only by being taken
-- away: another measure is another stock, so that what was printed on one can be told for ever.
CREATE TABLE card_stock (
  society_id TEXT NOT NULL REFERENCES society (id),
  id TEXT NOT NULL,
  name TEXT NOT NULL CHECK (name <> ''),
  page_w_mm REAL NOT NULL CHECK (page_w_mm >= 0),
  page_h_mm REAL NOT NULL CHECK (page_h_mm >= 0),
  card_w_mm REAL NOT NULL CHECK (card_w_mm >= 0),
  card_h_mm REAL NOT NULL CHECK (card_h_mm >= 0),
  columns INTEGER NOT NULL CHECK (columns >= 1),
  rows INTEGER NOT NULL CHECK (rows >= 1),
  left_mm REAL NOT NULL CHECK (left_mm >= 0), -- from the page's corner to the first card's
  top_mm REAL NOT NULL CHECK (top_mm >= 0),
  gap_x_mm REAL NOT NULL CHECK (gap_x_mm >= 0), -- between cards
  gap_y_mm REAL NOT NULL CHECK (gap_y_mm >= 0),
  cut_marks INTEGER NOT NULL CHECK (cut_marks IN (0, 1)),
  added_by TEXT NOT NULL,
  added_at TEXT NOT NULL,
  taken_by TEXT,
  taken_at TEXT,
  PRIMARY KEY (society_id, id),
  FOREIGN KEY (society_id, added_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, taken_by) REFERENCES person (society_id, id),
  CHECK ((taken_by IS NULL) = (taken_at IS NULL))
);

-- A name says which stock is meant, among those that stand.
CREATE UNIQUE INDEX card_stock_name ON card_stock (society_id, name) WHERE taken_at IS NULL;

-- +goose StatementBegin
CREATE TRIGGER card_stock_as_added BEFORE UPDATE OF society_id, id, name, page_w_mm, page_h_mm, card_w_mm, card_h_mm, columns, rows,
  left_mm, top_mm, gap_x_mm, gap_y_mm, cut_marks, added_by, added_at ON card_stock
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'card_stock is only added to and taken away'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER card_stock_taken_once BEFORE UPDATE OF taken_by, taken_at ON card_stock
WHEN OLD.taken_at IS NOT NULL AND NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'card_stock is taken away once'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER card_stock_no_delete BEFORE DELETE ON card_stock
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'card_stock keeps its rows'); END;
-- +goose StatementEnd
