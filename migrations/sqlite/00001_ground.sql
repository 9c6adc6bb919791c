-- +goose Up
-- The ground: societies, people, events, collections and what is said of them.
-- Society tables carry society_id in their primary and foreign keys, so that a reference across societies cannot be
-- stored. What is added and never changed is guarded by triggers at the end.

CREATE TABLE installation (
  id TEXT PRIMARY KEY,
  created_at TEXT NOT NULL
);

-- One row while erasure or restore runs; the append-only triggers let it pass and the audit says why.
CREATE TABLE maintenance (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  reason TEXT NOT NULL,
  begun_at TEXT NOT NULL
);

CREATE TABLE society (
  id TEXT PRIMARY KEY,
  code TEXT NOT NULL UNIQUE,
  name TEXT NOT NULL,
  created_at TEXT NOT NULL
);

-- The credited name is part of the record; how it is printed is the person's choice.
CREATE TABLE person (
  society_id TEXT NOT NULL REFERENCES society (id),
  id TEXT NOT NULL,
  name TEXT NOT NULL,
  credit TEXT NOT NULL DEFAULT 'full' CHECK (credit IN ('full', 'initials', 'none')),
  kind TEXT NOT NULL DEFAULT 'person' CHECK (kind IN ('person', 'installation')),
  created_at TEXT NOT NULL,
  PRIMARY KEY (society_id, id)
);

-- Erasable: how somebody signs in.
CREATE TABLE account (
  society_id TEXT NOT NULL,
  id TEXT NOT NULL,
  person_id TEXT NOT NULL,
  login TEXT NOT NULL UNIQUE,
  password_hash TEXT NOT NULL,
  disabled_at TEXT,
  created_at TEXT NOT NULL,
  PRIMARY KEY (society_id, id),
  UNIQUE (society_id, person_id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id)
);

CREATE TABLE session (
  society_id TEXT NOT NULL,
  id TEXT NOT NULL UNIQUE,
  account_id TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('browser', 'token')),
  label TEXT NOT NULL DEFAULT '',
  only_rights TEXT NOT NULL DEFAULT '',
  created_at TEXT NOT NULL,
  expires_at TEXT NOT NULL,
  revoked_at TEXT,
  PRIMARY KEY (society_id, id),
  FOREIGN KEY (society_id, account_id) REFERENCES account (society_id, id)
);

-- Counted for each login, known or not: a hall is one address.
CREATE TABLE sign_in_limit (
  login TEXT PRIMARY KEY,
  failures INTEGER NOT NULL,
  first_at TEXT NOT NULL,
  closed_until TEXT
);

CREATE TABLE event (
  society_id TEXT NOT NULL REFERENCES society (id),
  id TEXT NOT NULL,
  code TEXT NOT NULL,
  name TEXT NOT NULL,
  place TEXT NOT NULL DEFAULT '',
  starts_on TEXT NOT NULL,
  ends_on TEXT NOT NULL,
  time_zone TEXT NOT NULL,
  region TEXT NOT NULL,
  state TEXT NOT NULL CHECK (state IN ('open', 'hall_closed', 'closed')),
  home TEXT NOT NULL CHECK (home IN ('here', 'lent', 'borrowed')),
  created_at TEXT NOT NULL,
  PRIMARY KEY (society_id, id),
  UNIQUE (society_id, code)
);

-- Apart from event, so that counting does not lock what others read.
CREATE TABLE event_counter (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  change_seq BIGINT NOT NULL,
  PRIMARY KEY (society_id, event_id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id)
);

CREATE TABLE event_right (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  person_id TEXT NOT NULL,
  held TEXT NOT NULL,
  given_by TEXT NOT NULL,
  given_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, person_id, held),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, given_by) REFERENCES person (society_id, id)
);

-- The newest row counts; tested_at is empty until somebody has rung the number.
CREATE TABLE poison_contact (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  seq INTEGER NOT NULL,
  name TEXT NOT NULL,
  phone TEXT NOT NULL,
  hours TEXT NOT NULL DEFAULT '',
  typed_by TEXT NOT NULL,
  typed_at TEXT NOT NULL,
  tested_by TEXT,
  tested_at TEXT,
  PRIMARY KEY (society_id, event_id, seq),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, typed_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, tested_by) REFERENCES person (society_id, id)
);

-- Decimal degrees WGS 84, uncertainty in metres; the public sees the point cut to grid_m.
CREATE TABLE site (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  code TEXT NOT NULL,
  name TEXT NOT NULL,
  latitude REAL,
  longitude REAL,
  uncertainty_m INTEGER NOT NULL DEFAULT 0,
  grid_m INTEGER NOT NULL DEFAULT 1000,
  sensitive INTEGER NOT NULL DEFAULT 0,
  permitted INTEGER NOT NULL DEFAULT 1,
  created_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, code),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id)
);

CREATE TABLE team (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  number INTEGER NOT NULL,
  name TEXT NOT NULL DEFAULT '',
  leader_id TEXT,
  site_id TEXT,
  created_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, number),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, leader_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, event_id, site_id) REFERENCES site (society_id, event_id, id)
);

CREATE TABLE hall_table (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  number INTEGER NOT NULL,
  title TEXT NOT NULL DEFAULT '',
  hazards INTEGER NOT NULL DEFAULT 0,
  created_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, number),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id)
);

-- naming, disputed and whereabouts are kept in the same transaction as the history they are computed from.
-- version counts slips: a decision is compare-and-set on it.
CREATE TABLE collection (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  number_base INTEGER NOT NULL CHECK (number_base > 0),
  number_suffix TEXT NOT NULL DEFAULT '',
  form_group TEXT NOT NULL DEFAULT '',
  team_id TEXT,
  site_id TEXT,
  collector_id TEXT,
  picked_at TEXT,
  picked_text TEXT NOT NULL DEFAULT '',
  picked_from TEXT NOT NULL DEFAULT '',
  picked_to TEXT NOT NULL DEFAULT '',
  substrate TEXT NOT NULL DEFAULT '',
  host TEXT NOT NULL DEFAULT '',
  habitat TEXT NOT NULL DEFAULT '',
  growth TEXT NOT NULL DEFAULT '',
  plate TEXT NOT NULL DEFAULT '',
  kept_cool INTEGER NOT NULL DEFAULT 0,
  fruitbodies INTEGER,
  weight_g REAL,
  outside INTEGER NOT NULL DEFAULT 0,
  cultivated INTEGER NOT NULL DEFAULT 0,
  remarks TEXT NOT NULL DEFAULT '',
  naming TEXT NOT NULL CHECK (naming IN ('brought_in', 'provisional', 'confirmed', 'not_nameable', 'not_fungus')),
  disputed INTEGER NOT NULL DEFAULT 0,
  whereabouts TEXT NOT NULL CHECK (whereabouts IN ('desk', 'bench', 'table', 'back_table', 'dryer', 'sent', 'discarded', 'lost')),
  table_id TEXT,
  position TEXT NOT NULL DEFAULT '',
  with_whom TEXT NOT NULL DEFAULT '',
  version INTEGER NOT NULL DEFAULT 0,
  logged_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, number_base, number_suffix),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, team_id) REFERENCES team (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, site_id) REFERENCES site (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, table_id) REFERENCES hall_table (society_id, event_id, id),
  FOREIGN KEY (society_id, collector_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, logged_by) REFERENCES person (society_id, id)
);

CREATE INDEX collection_by_naming ON collection (society_id, event_id, naming);

-- Fleeting characters as said, by whom and when; two people may disagree and both stand.
CREATE TABLE character_note (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  collection_id TEXT NOT NULL,
  character TEXT NOT NULL,
  words TEXT NOT NULL,
  seconds INTEGER,
  noted_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, noted_by) REFERENCES person (society_id, id)
);

CREATE INDEX character_note_by_collection ON character_note (society_id, event_id, collection_id);

CREATE TABLE slip (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  collection_id TEXT NOT NULL,
  seq INTEGER NOT NULL CHECK (seq > 0),
  kind TEXT NOT NULL CHECK (kind IN ('field_name', 'sign_off', 'not_nameable', 'not_fungus', 'strike')),
  determiner_id TEXT NOT NULL,
  writer_id TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  basis TEXT NOT NULL DEFAULT '',
  answers TEXT NOT NULL DEFAULT '',
  strikes TEXT,
  remarks TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, collection_id, seq),
  UNIQUE (society_id, event_id, strikes),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, strikes) REFERENCES slip (society_id, event_id, id),
  FOREIGN KEY (society_id, determiner_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, writer_id) REFERENCES person (society_id, id)
);

-- No reference into a checklist: a name as determined outlives every classification.
CREATE TABLE slip_name (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  slip_id TEXT NOT NULL,
  rank INTEGER NOT NULL CHECK (rank BETWEEN 1 AND 5),
  verbatim TEXT NOT NULL,
  name_key TEXT NOT NULL,
  current_key TEXT NOT NULL,
  name TEXT NOT NULL,
  author TEXT NOT NULL DEFAULT '',
  name_rank TEXT NOT NULL DEFAULT '',
  qualifier TEXT NOT NULL DEFAULT '',
  qualifier_position TEXT NOT NULL DEFAULT '',
  reason TEXT NOT NULL DEFAULT '',
  checklist_rev TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, slip_id, rank),
  FOREIGN KEY (society_id, event_id, slip_id) REFERENCES slip (society_id, event_id, id)
);

CREATE TABLE naming_history (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  collection_id TEXT NOT NULL,
  seq INTEGER NOT NULL,
  naming TEXT NOT NULL,
  disputed INTEGER NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, collection_id, seq),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id)
);

CREATE TABLE placement (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  collection_id TEXT NOT NULL,
  seq INTEGER NOT NULL,
  whereabouts TEXT NOT NULL,
  table_id TEXT,
  position TEXT NOT NULL DEFAULT '',
  with_whom TEXT NOT NULL DEFAULT '',
  placed_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, collection_id, seq),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, table_id) REFERENCES hall_table (society_id, event_id, id),
  FOREIGN KEY (society_id, placed_by) REFERENCES person (society_id, id)
);

-- A published list is served from these bytes for ever.
CREATE TABLE publication (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  version INTEGER NOT NULL CHECK (version > 0),
  canonical BLOB NOT NULL,
  canonical_sha256 TEXT NOT NULL,
  csv BLOB NOT NULL,
  csv_sha256 TEXT NOT NULL,
  checklist_rev TEXT NOT NULL,
  knowledge_rev TEXT NOT NULL,
  change_seq BIGINT NOT NULL,
  remarks TEXT NOT NULL DEFAULT '',
  signed_by TEXT NOT NULL,
  signed_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, version),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, signed_by) REFERENCES person (society_id, id)
);

-- A command's answer is kept in the transaction that applied it, so that sending it again changes nothing.
CREATE TABLE command_log (
  society_id TEXT NOT NULL,
  person_id TEXT NOT NULL,
  id TEXT NOT NULL,
  event_id TEXT,
  kind TEXT NOT NULL,
  device TEXT NOT NULL DEFAULT '',
  body_sha256 TEXT NOT NULL,
  result TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  CONSTRAINT command_log_once PRIMARY KEY (society_id, person_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id)
);

CREATE TABLE change (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  seq BIGINT NOT NULL,
  kind TEXT NOT NULL,
  subject TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, seq),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id)
);

CREATE TABLE audit (
  society_id TEXT NOT NULL,
  id TEXT NOT NULL,
  event_id TEXT,
  person_id TEXT NOT NULL,
  action TEXT NOT NULL,
  kind TEXT NOT NULL,
  subject TEXT,
  detail TEXT NOT NULL DEFAULT '',
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id)
);

CREATE INDEX audit_by_event ON audit (society_id, event_id, recorded_at);

-- +goose StatementBegin
CREATE TRIGGER slip_no_update BEFORE UPDATE ON slip
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'slip is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER slip_no_delete BEFORE DELETE ON slip
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'slip is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER slip_name_no_update BEFORE UPDATE ON slip_name
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'slip_name is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER slip_name_no_delete BEFORE DELETE ON slip_name
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'slip_name is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER character_note_no_update BEFORE UPDATE ON character_note
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'character_note is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER character_note_no_delete BEFORE DELETE ON character_note
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'character_note is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER naming_history_no_update BEFORE UPDATE ON naming_history
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'naming_history is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER naming_history_no_delete BEFORE DELETE ON naming_history
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'naming_history is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER placement_no_update BEFORE UPDATE ON placement
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'placement is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER placement_no_delete BEFORE DELETE ON placement
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'placement is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER publication_no_update BEFORE UPDATE ON publication
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'publication is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER publication_no_delete BEFORE DELETE ON publication
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'publication is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER audit_no_update BEFORE UPDATE ON audit
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'audit is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER audit_no_delete BEFORE DELETE ON audit
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'audit is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER change_no_update BEFORE UPDATE ON change
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'change is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER change_no_delete BEFORE DELETE ON change
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'change is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER poison_contact_no_update BEFORE UPDATE ON poison_contact
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'poison_contact is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER poison_contact_no_delete BEFORE DELETE ON poison_contact
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'poison_contact is append-only'); END;
-- +goose StatementEnd
