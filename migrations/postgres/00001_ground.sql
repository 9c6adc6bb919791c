-- +goose Up
-- The ground: societies, people, events, collections and what is said of them.
-- Society tables carry society_id in their primary and foreign keys, so that a reference across societies cannot be
-- stored. What is added and never changed is guarded by triggers at the end.

CREATE TABLE installation (
  id uuid PRIMARY KEY,
  created_at timestamptz NOT NULL
);

-- One row while erasure or restore runs; the append-only triggers let it pass and the audit says why.
CREATE TABLE maintenance (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  reason TEXT NOT NULL,
  begun_at timestamptz NOT NULL
);

CREATE TABLE society (
  id uuid PRIMARY KEY,
  code text COLLATE "C" NOT NULL UNIQUE,
  name text COLLATE "C" NOT NULL,
  created_at timestamptz NOT NULL
);

-- The credited name is part of the record; how it is printed is the person's choice.
CREATE TABLE person (
  society_id uuid NOT NULL REFERENCES society (id),
  id uuid NOT NULL,
  name text COLLATE "C" NOT NULL,
  credit text COLLATE "C" NOT NULL DEFAULT 'full' CHECK (credit IN ('full', 'initials', 'none')),
  kind text COLLATE "C" NOT NULL DEFAULT 'person' CHECK (kind IN ('person', 'installation')),
  created_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, id)
);

-- Erasable: how somebody signs in.
CREATE TABLE account (
  society_id uuid NOT NULL,
  id uuid NOT NULL,
  person_id uuid NOT NULL,
  login text COLLATE "C" NOT NULL UNIQUE,
  password_hash text COLLATE "C" NOT NULL,
  disabled_at timestamptz,
  created_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, id),
  UNIQUE (society_id, person_id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id)
);

CREATE TABLE session (
  society_id uuid NOT NULL,
  id uuid NOT NULL UNIQUE,
  account_id uuid NOT NULL,
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('browser', 'token')),
  label text COLLATE "C" NOT NULL DEFAULT '',
  only_rights text COLLATE "C" NOT NULL DEFAULT '',
  created_at timestamptz NOT NULL,
  expires_at timestamptz NOT NULL,
  revoked_at timestamptz,
  PRIMARY KEY (society_id, id),
  FOREIGN KEY (society_id, account_id) REFERENCES account (society_id, id)
);

-- Counted for each login, known or not: a hall is one address.
CREATE TABLE sign_in_limit (
  login text COLLATE "C" PRIMARY KEY,
  failures INTEGER NOT NULL,
  first_at timestamptz NOT NULL,
  closed_until timestamptz
);

CREATE TABLE event (
  society_id uuid NOT NULL REFERENCES society (id),
  id uuid NOT NULL,
  code text COLLATE "C" NOT NULL,
  name text COLLATE "C" NOT NULL,
  place text COLLATE "C" NOT NULL DEFAULT '',
  starts_on text COLLATE "C" NOT NULL,
  ends_on text COLLATE "C" NOT NULL,
  time_zone text COLLATE "C" NOT NULL,
  region text COLLATE "C" NOT NULL,
  state text COLLATE "C" NOT NULL CHECK (state IN ('open', 'hall_closed', 'closed')),
  home text COLLATE "C" NOT NULL CHECK (home IN ('here', 'lent', 'borrowed')),
  created_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, id),
  UNIQUE (society_id, code)
);

-- Apart from event, so that counting does not lock what others read.
CREATE TABLE event_counter (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  change_seq BIGINT NOT NULL,
  PRIMARY KEY (society_id, event_id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id)
);

CREATE TABLE event_right (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  person_id uuid NOT NULL,
  held text COLLATE "C" NOT NULL,
  given_by uuid NOT NULL,
  given_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, person_id, held),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, given_by) REFERENCES person (society_id, id)
);

-- The newest row counts; tested_at is empty until somebody has rung the number.
CREATE TABLE poison_contact (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  seq INTEGER NOT NULL,
  name text COLLATE "C" NOT NULL,
  phone text COLLATE "C" NOT NULL,
  hours text COLLATE "C" NOT NULL DEFAULT '',
  typed_by uuid NOT NULL,
  typed_at timestamptz NOT NULL,
  tested_by uuid,
  tested_at timestamptz,
  PRIMARY KEY (society_id, event_id, seq),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, typed_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, tested_by) REFERENCES person (society_id, id)
);

-- Decimal degrees WGS 84, uncertainty in metres; the public sees the point cut to grid_m.
CREATE TABLE site (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  code text COLLATE "C" NOT NULL,
  name text COLLATE "C" NOT NULL,
  latitude double precision,
  longitude double precision,
  uncertainty_m INTEGER NOT NULL DEFAULT 0,
  grid_m INTEGER NOT NULL DEFAULT 1000,
  sensitive boolean NOT NULL DEFAULT false,
  permitted boolean NOT NULL DEFAULT true,
  created_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, code),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id)
);

CREATE TABLE team (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  number INTEGER NOT NULL,
  name text COLLATE "C" NOT NULL DEFAULT '',
  leader_id uuid,
  site_id uuid,
  created_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, number),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, leader_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, event_id, site_id) REFERENCES site (society_id, event_id, id)
);

CREATE TABLE hall_table (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  number INTEGER NOT NULL,
  title text COLLATE "C" NOT NULL DEFAULT '',
  hazards boolean NOT NULL DEFAULT false,
  created_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, number),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id)
);

-- naming, disputed and whereabouts are kept in the same transaction as the history they are computed from.
-- version counts slips: a decision is compare-and-set on it.
CREATE TABLE collection (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  number_base INTEGER NOT NULL CHECK (number_base > 0),
  number_suffix text COLLATE "C" NOT NULL DEFAULT '',
  form_group text COLLATE "C" NOT NULL DEFAULT '',
  team_id uuid,
  site_id uuid,
  collector_id uuid,
  picked_at timestamptz,
  picked_text text COLLATE "C" NOT NULL DEFAULT '',
  picked_from text COLLATE "C" NOT NULL DEFAULT '',
  picked_to text COLLATE "C" NOT NULL DEFAULT '',
  substrate text COLLATE "C" NOT NULL DEFAULT '',
  host text COLLATE "C" NOT NULL DEFAULT '',
  habitat text COLLATE "C" NOT NULL DEFAULT '',
  growth text COLLATE "C" NOT NULL DEFAULT '',
  plate text COLLATE "C" NOT NULL DEFAULT '',
  kept_cool boolean NOT NULL DEFAULT false,
  fruitbodies INTEGER,
  weight_g double precision,
  outside boolean NOT NULL DEFAULT false,
  cultivated boolean NOT NULL DEFAULT false,
  remarks text COLLATE "C" NOT NULL DEFAULT '',
  naming text COLLATE "C" NOT NULL CHECK (naming IN ('brought_in', 'provisional', 'confirmed', 'not_nameable', 'not_fungus')),
  disputed boolean NOT NULL DEFAULT false,
  whereabouts text COLLATE "C" NOT NULL CHECK (whereabouts IN ('desk', 'bench', 'table', 'back_table', 'dryer', 'sent', 'discarded', 'lost')),
  table_id uuid,
  position text COLLATE "C" NOT NULL DEFAULT '',
  with_whom text COLLATE "C" NOT NULL DEFAULT '',
  version INTEGER NOT NULL DEFAULT 0,
  logged_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
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
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  collection_id uuid NOT NULL,
  character text COLLATE "C" NOT NULL,
  words text COLLATE "C" NOT NULL,
  seconds INTEGER,
  noted_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, noted_by) REFERENCES person (society_id, id)
);

CREATE INDEX character_note_by_collection ON character_note (society_id, event_id, collection_id);

CREATE TABLE slip (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  collection_id uuid NOT NULL,
  seq INTEGER NOT NULL CHECK (seq > 0),
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('field_name', 'sign_off', 'not_nameable', 'not_fungus', 'strike')),
  determiner_id uuid NOT NULL,
  writer_id uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  basis text COLLATE "C" NOT NULL DEFAULT '',
  answers text COLLATE "C" NOT NULL DEFAULT '',
  strikes uuid,
  remarks text COLLATE "C" NOT NULL DEFAULT '',
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
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  slip_id uuid NOT NULL,
  rank INTEGER NOT NULL CHECK (rank BETWEEN 1 AND 5),
  verbatim text COLLATE "C" NOT NULL,
  name_key text COLLATE "C" NOT NULL,
  current_key text COLLATE "C" NOT NULL,
  name text COLLATE "C" NOT NULL,
  author text COLLATE "C" NOT NULL DEFAULT '',
  name_rank text COLLATE "C" NOT NULL DEFAULT '',
  qualifier text COLLATE "C" NOT NULL DEFAULT '',
  qualifier_position text COLLATE "C" NOT NULL DEFAULT '',
  reason text COLLATE "C" NOT NULL DEFAULT '',
  checklist_rev text COLLATE "C" NOT NULL,
  PRIMARY KEY (society_id, event_id, slip_id, rank),
  FOREIGN KEY (society_id, event_id, slip_id) REFERENCES slip (society_id, event_id, id)
);

CREATE TABLE naming_history (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  collection_id uuid NOT NULL,
  seq INTEGER NOT NULL,
  naming text COLLATE "C" NOT NULL,
  disputed boolean NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, collection_id, seq),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id)
);

CREATE TABLE placement (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  collection_id uuid NOT NULL,
  seq INTEGER NOT NULL,
  whereabouts text COLLATE "C" NOT NULL,
  table_id uuid,
  position text COLLATE "C" NOT NULL DEFAULT '',
  with_whom text COLLATE "C" NOT NULL DEFAULT '',
  placed_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, collection_id, seq),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, table_id) REFERENCES hall_table (society_id, event_id, id),
  FOREIGN KEY (society_id, placed_by) REFERENCES person (society_id, id)
);

-- A published list is served from these bytes for ever.
CREATE TABLE publication (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  version INTEGER NOT NULL CHECK (version > 0),
  canonical bytea NOT NULL,
  canonical_sha256 text COLLATE "C" NOT NULL,
  csv bytea NOT NULL,
  csv_sha256 text COLLATE "C" NOT NULL,
  checklist_rev text COLLATE "C" NOT NULL,
  knowledge_rev text COLLATE "C" NOT NULL,
  change_seq BIGINT NOT NULL,
  remarks text COLLATE "C" NOT NULL DEFAULT '',
  signed_by uuid NOT NULL,
  signed_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, version),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, signed_by) REFERENCES person (society_id, id)
);

-- A command's answer is kept in the transaction that applied it, so that sending it again changes nothing.
CREATE TABLE command_log (
  society_id uuid NOT NULL,
  person_id uuid NOT NULL,
  id uuid NOT NULL,
  event_id uuid,
  kind text COLLATE "C" NOT NULL,
  device text COLLATE "C" NOT NULL DEFAULT '',
  body_sha256 text COLLATE "C" NOT NULL,
  result text COLLATE "C" NOT NULL,
  recorded_at timestamptz NOT NULL,
  CONSTRAINT command_log_once PRIMARY KEY (society_id, person_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id)
);

CREATE TABLE change (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  seq BIGINT NOT NULL,
  kind text COLLATE "C" NOT NULL,
  subject uuid NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, seq),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id)
);

CREATE TABLE audit (
  society_id uuid NOT NULL,
  id uuid NOT NULL,
  event_id uuid,
  person_id uuid NOT NULL,
  action text COLLATE "C" NOT NULL,
  kind text COLLATE "C" NOT NULL,
  subject uuid,
  detail text COLLATE "C" NOT NULL DEFAULT '',
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id)
);

CREATE INDEX audit_by_event ON audit (society_id, event_id, recorded_at);

-- +goose StatementBegin
CREATE FUNCTION append_only() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF NOT EXISTS (SELECT 1 FROM maintenance) THEN
    RAISE EXCEPTION '% is append-only', TG_TABLE_NAME USING ERRCODE = 'integrity_constraint_violation';
  END IF;
  IF TG_OP = 'DELETE' THEN RETURN OLD; END IF;
  RETURN NEW;
END $$;
-- +goose StatementEnd
CREATE TRIGGER slip_append_only BEFORE UPDATE OR DELETE ON slip FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER slip_no_truncate BEFORE TRUNCATE ON slip FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER slip_name_append_only BEFORE UPDATE OR DELETE ON slip_name FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER slip_name_no_truncate BEFORE TRUNCATE ON slip_name FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER character_note_append_only BEFORE UPDATE OR DELETE ON character_note FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER character_note_no_truncate BEFORE TRUNCATE ON character_note FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER naming_history_append_only BEFORE UPDATE OR DELETE ON naming_history FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER naming_history_no_truncate BEFORE TRUNCATE ON naming_history FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER placement_append_only BEFORE UPDATE OR DELETE ON placement FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER placement_no_truncate BEFORE TRUNCATE ON placement FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER publication_append_only BEFORE UPDATE OR DELETE ON publication FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER publication_no_truncate BEFORE TRUNCATE ON publication FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER audit_append_only BEFORE UPDATE OR DELETE ON audit FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER audit_no_truncate BEFORE TRUNCATE ON audit FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER change_append_only BEFORE UPDATE OR DELETE ON change FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER change_no_truncate BEFORE TRUNCATE ON change FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER poison_contact_append_only BEFORE UPDATE OR DELETE ON poison_contact FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER poison_contact_no_truncate BEFORE TRUNCATE ON poison_contact FOR EACH STATEMENT EXECUTE FUNCTION append_only();
