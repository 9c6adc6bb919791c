-- +goose Up
-- The paper on which a society prints its display cards, all lengths in millimetres. A row changes only by being taken
-- away: another measure is another stock, so that what was printed on one can be told for ever.
CREATE TABLE card_stock (
  society_id uuid NOT NULL REFERENCES society (id),
  id uuid NOT NULL,
  name text COLLATE "C" NOT NULL CHECK (name <> ''),
  page_w_mm double precision NOT NULL CHECK (page_w_mm >= 0),
  page_h_mm double precision NOT NULL CHECK (page_h_mm >= 0),
  card_w_mm double precision NOT NULL CHECK (card_w_mm >= 0),
  card_h_mm double precision NOT NULL CHECK (card_h_mm >= 0),
  columns integer NOT NULL CHECK (columns >= 1),
  rows integer NOT NULL CHECK (rows >= 1),
  left_mm double precision NOT NULL CHECK (left_mm >= 0), -- from the page's corner to the first card's
  top_mm double precision NOT NULL CHECK (top_mm >= 0),
  gap_x_mm double precision NOT NULL CHECK (gap_x_mm >= 0), -- between cards
  gap_y_mm double precision NOT NULL CHECK (gap_y_mm >= 0),
  cut_marks boolean NOT NULL,
  added_by uuid NOT NULL,
  added_at timestamptz NOT NULL,
  taken_by uuid,
  taken_at timestamptz,
  PRIMARY KEY (society_id, id),
  FOREIGN KEY (society_id, added_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, taken_by) REFERENCES person (society_id, id),
  CHECK ((taken_by IS NULL) = (taken_at IS NULL))
);

-- A name says which stock is meant, among those that stand.
CREATE UNIQUE INDEX card_stock_name ON card_stock (society_id, name) WHERE taken_at IS NULL;

CREATE TRIGGER card_stock_as_added BEFORE UPDATE OF society_id, id, name, page_w_mm, page_h_mm, card_w_mm, card_h_mm, columns, rows,
  left_mm, top_mm, gap_x_mm, gap_y_mm, cut_marks, added_by, added_at ON card_stock FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER card_stock_taken_once BEFORE UPDATE OF taken_by, taken_at ON card_stock FOR EACH ROW
  WHEN (OLD.taken_at IS NOT NULL) EXECUTE FUNCTION append_only();
CREATE TRIGGER card_stock_no_delete BEFORE DELETE ON card_stock FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER card_stock_no_truncate BEFORE TRUNCATE ON card_stock FOR EACH STATEMENT EXECUTE FUNCTION append_only();
