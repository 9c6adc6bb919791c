-- +goose Up
-- Vouchers: what is kept of a find when the hall is empty. The dryers with their trays; what was said of a plate as a
-- voucher, from choosing to sending; what it bears beside its number: the collector's own number, the accession that an
-- institution gave, tubes of tissue and accessions of sequences. Nothing is changed: the newest word holds, and a code
-- that was wrong is replaced by a row that names it.
CREATE TABLE dryer (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  name text COLLATE "C" NOT NULL CHECK (name <> ''),
  trays text COLLATE "C" NOT NULL CHECK (trays <> ''), -- their names from top to bottom, one a line
  places INTEGER NOT NULL CHECK (places BETWEEN 1 AND 99), -- a tray
  added_by uuid NOT NULL,
  added_at timestamptz NOT NULL,
  taken_by uuid,
  taken_at timestamptz,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, added_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, taken_by) REFERENCES person (society_id, id),
  CHECK ((taken_by IS NULL) = (taken_at IS NULL))
);

-- A name says which dryer is meant, among those that stand.
CREATE UNIQUE INDEX dryer_name ON dryer (society_id, event_id, name) WHERE taken_at IS NULL;

CREATE TABLE dryer_reading (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  dryer_id uuid NOT NULL,
  celsius double precision NOT NULL CHECK (celsius BETWEEN -20 AND 150),
  words text COLLATE "C" NOT NULL DEFAULT '',
  read_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, dryer_id) REFERENCES dryer (society_id, event_id, id),
  FOREIGN KEY (society_id, read_by) REFERENCES person (society_id, id)
);

CREATE TABLE voucher_word (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  collection_id uuid NOT NULL,
  seq INTEGER NOT NULL CHECK (seq > 0),
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('chosen', 'dropped', 'taken_out', 'packed', 'unpacked', 'freezer_in', 'freezer_out', 'sent')),
  reason text COLLATE "C" NOT NULL DEFAULT '', -- why it was chosen, as a key
  fruitbodies INTEGER CHECK (fruitbodies BETWEEN 1 AND 999), -- kept
  tissue boolean NOT NULL, -- tissue for a sequence is wanted
  dry boolean NOT NULL, -- cracker dry when it was taken out
  institution text COLLATE "C" NOT NULL DEFAULT '', -- its code, of what was sent
  words text COLLATE "C" NOT NULL DEFAULT '',
  said_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, collection_id, seq),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, said_by) REFERENCES person (society_id, id),
  CHECK (kind <> 'chosen' OR reason <> ''),
  CHECK (kind NOT IN ('dropped', 'unpacked') OR words <> ''),
  CHECK (kind <> 'sent' OR institution <> '')
);

CREATE TABLE voucher_code (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  collection_id uuid NOT NULL,
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('own_number', 'accession', 'tissue', 'sequence')),
  code text COLLATE "C" NOT NULL DEFAULT '', -- empty: what is replaced was wrong and nothing stands in its place
  code_key text COLLATE "C" NOT NULL DEFAULT '', -- folded, by which two are the same
  keeper text COLLATE "C" NOT NULL DEFAULT '', -- the institution's code; the repository of a sequence
  marker text COLLATE "C" NOT NULL DEFAULT '', -- of a sequence
  dried boolean NOT NULL, -- tissue of a dry specimen
  dated text COLLATE "C" NOT NULL DEFAULT '', -- ISO date, as exact as it is known
  taken_by uuid, -- who took the tissue
  replaces uuid,
  words text COLLATE "C" NOT NULL DEFAULT '',
  written_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
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

CREATE TRIGGER dryer_as_added BEFORE UPDATE OF society_id, event_id, id, name, trays, places, added_by, added_at ON dryer FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER dryer_taken_once BEFORE UPDATE ON dryer FOR EACH ROW WHEN (OLD.taken_at IS NOT NULL) EXECUTE FUNCTION append_only();
CREATE TRIGGER dryer_no_delete BEFORE DELETE ON dryer FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER dryer_no_truncate BEFORE TRUNCATE ON dryer FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER dryer_reading_append_only BEFORE UPDATE OR DELETE ON dryer_reading FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER dryer_reading_no_truncate BEFORE TRUNCATE ON dryer_reading FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER voucher_word_append_only BEFORE UPDATE OR DELETE ON voucher_word FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER voucher_word_no_truncate BEFORE TRUNCATE ON voucher_word FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER voucher_code_append_only BEFORE UPDATE OR DELETE ON voucher_code FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER voucher_code_no_truncate BEFORE TRUNCATE ON voucher_code FOR EACH STATEMENT EXECUTE FUNCTION append_only();
