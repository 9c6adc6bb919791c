-- +goose Up
-- Vouchers: what is kept of a find when the hall is empty. The dryers with their trays; what was said of a plate as a
-- voucher, from choosing to sending; what it bears beside its number: the collector's own number, the accession that an
-- institution gave, tubes of tissue and accessions of sequences. Nothing is changed: the newest word holds, and a code
-- that was wrong is replaced by a row that names it.
CREATE TABLE dryer (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  name TEXT NOT NULL CHECK (name <> ''),
  trays TEXT NOT NULL CHECK (trays <> ''), -- their names from top to bottom, one a line
  places INTEGER NOT NULL CHECK (places BETWEEN 1 AND 99), -- a tray
  added_by TEXT NOT NULL,
  added_at TEXT NOT NULL,
  taken_by TEXT,
  taken_at TEXT,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, added_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, taken_by) REFERENCES person (society_id, id),
  CHECK ((taken_by IS NULL) = (taken_at IS NULL))
);

-- A name says which dryer is meant, among those that stand.
CREATE UNIQUE INDEX dryer_name ON dryer (society_id, event_id, name) WHERE taken_at IS NULL;

CREATE TABLE dryer_reading (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  dryer_id TEXT NOT NULL,
  celsius REAL NOT NULL CHECK (celsius BETWEEN -20 AND 150),
  words TEXT NOT NULL DEFAULT '',
  read_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, dryer_id) REFERENCES dryer (society_id, event_id, id),
  FOREIGN KEY (society_id, read_by) REFERENCES person (society_id, id)
);

CREATE TABLE voucher_word (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  collection_id TEXT NOT NULL,
  seq INTEGER NOT NULL CHECK (seq > 0),
  kind TEXT NOT NULL CHECK (kind IN ('chosen', 'dropped', 'taken_out', 'packed', 'unpacked', 'freezer_in', 'freezer_out', 'sent')),
  reason TEXT NOT NULL DEFAULT '', -- why it was chosen, as a key
  fruitbodies INTEGER CHECK (fruitbodies BETWEEN 1 AND 999), -- kept
  tissue INTEGER NOT NULL CHECK (tissue IN (0, 1)), -- tissue for a sequence is wanted
  dry INTEGER NOT NULL CHECK (dry IN (0, 1)), -- cracker dry when it was taken out
  institution TEXT NOT NULL DEFAULT '', -- its code, of what was sent
  words TEXT NOT NULL DEFAULT '',
  said_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, collection_id, seq),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, said_by) REFERENCES person (society_id, id),
  CHECK (kind <> 'chosen' OR reason <> ''),
  CHECK (kind NOT IN ('dropped', 'unpacked') OR words <> ''),
  CHECK (kind <> 'sent' OR institution <> '')
);

CREATE TABLE voucher_code (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  collection_id TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('own_number', 'accession', 'tissue', 'sequence')),
  code TEXT NOT NULL DEFAULT '', -- empty: what is replaced was wrong and nothing stands in its place
  code_key TEXT NOT NULL DEFAULT '', -- folded, by which two are the same
  keeper TEXT NOT NULL DEFAULT '', -- the institution's code; the repository of a sequence
  marker TEXT NOT NULL DEFAULT '', -- of a sequence
  dried INTEGER NOT NULL CHECK (dried IN (0, 1)), -- tissue of a dry specimen
  dated TEXT NOT NULL DEFAULT '', -- ISO date, as exact as it is known
  taken_by TEXT, -- who took the tissue
  replaces TEXT,
  words TEXT NOT NULL DEFAULT '',
  written_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, replaces),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, replaces) REFERENCES voucher_code (society_id, event_id, id),
  FOREIGN KEY (society_id, taken_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, written_by) REFERENCES person (society_id, id),
  CHECK ((code = '') = (code_key = '')),
  CHECK (replaces IS NULL OR words <> ''),
  CHECK (code <> '' OR replaces IS NOT NULL),
  CHECK (code = '' OR kind NOT IN ('accession', 'sequence') OR keeper <> ''),
  CHECK (code = '' OR kind <> 'sequence' OR marker <> '')
);

-- Whether a code is borne already is asked of the whole society.
CREATE INDEX voucher_code_borne ON voucher_code (society_id, kind, code_key);

-- +goose StatementBegin
CREATE TRIGGER dryer_as_added BEFORE UPDATE OF society_id, event_id, id, name, trays, places, added_by, added_at ON dryer
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'dryer is only added to and taken away'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER dryer_taken_once BEFORE UPDATE OF taken_by, taken_at ON dryer
WHEN OLD.taken_at IS NOT NULL AND NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'dryer is taken away once'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER dryer_no_delete BEFORE DELETE ON dryer
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'dryer keeps its rows'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER dryer_reading_no_update BEFORE UPDATE ON dryer_reading
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'dryer_reading is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER dryer_reading_no_delete BEFORE DELETE ON dryer_reading
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'dryer_reading is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER voucher_word_no_update BEFORE UPDATE ON voucher_word
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'voucher_word is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER voucher_word_no_delete BEFORE DELETE ON voucher_word
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'voucher_word is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER voucher_code_no_update BEFORE UPDATE ON voucher_code
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'voucher_code is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER voucher_code_no_delete BEFORE DELETE ON voucher_code
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'voucher_code is append-only'); END;
-- +goose StatementEnd
