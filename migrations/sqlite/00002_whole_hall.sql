-- +goose Up
-- The whole hall: walks and who is back, numbers and what became of them, field records, photographs, papers,
-- invitations and passes, incidents, closing. What is added and never changed is guarded by triggers at the end.

ALTER TABLE event ADD COLUMN jurisdiction TEXT NOT NULL DEFAULT '';
ALTER TABLE event ADD COLUMN group_order TEXT NOT NULL DEFAULT '';
ALTER TABLE event ADD COLUMN everything_recorded INTEGER NOT NULL DEFAULT 0;
ALTER TABLE event ADD COLUMN ring_min INTEGER NOT NULL DEFAULT 15;
ALTER TABLE event ADD COLUMN tell_min INTEGER NOT NULL DEFAULT 30;
ALTER TABLE event ADD COLUMN search_min INTEGER NOT NULL DEFAULT 60;
ALTER TABLE event ADD COLUMN sunset_min INTEGER NOT NULL DEFAULT 60;
ALTER TABLE event ADD COLUMN silence_min INTEGER NOT NULL DEFAULT 90;
ALTER TABLE event ADD COLUMN delete_personal_on TEXT NOT NULL DEFAULT '';
ALTER TABLE site ADD COLUMN directions TEXT NOT NULL DEFAULT '';
ALTER TABLE site ADD COLUMN permit TEXT NOT NULL DEFAULT '';
ALTER TABLE site ADD COLUMN count_needed INTEGER NOT NULL DEFAULT 0;
ALTER TABLE hall_table ADD COLUMN form_groups TEXT NOT NULL DEFAULT '';
ALTER TABLE hall_table ADD COLUMN length_mm INTEGER NOT NULL DEFAULT 1830;
ALTER TABLE hall_table ADD COLUMN depth_mm INTEGER NOT NULL DEFAULT 760;
ALTER TABLE hall_table ADD COLUMN plan_x_mm INTEGER NOT NULL DEFAULT 0;
ALTER TABLE hall_table ADD COLUMN plan_y_mm INTEGER NOT NULL DEFAULT 0;
ALTER TABLE hall_table ADD COLUMN turned INTEGER NOT NULL DEFAULT 0;

-- What became of the number as a thing: a collection that was split or merged is no plate any more.
ALTER TABLE collection ADD COLUMN fate TEXT NOT NULL DEFAULT 'live' CHECK (fate IN ('live', 'split', 'merged', 'spoilt'));

CREATE TABLE walk (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  number INTEGER NOT NULL,
  title TEXT NOT NULL DEFAULT '',
  site_id TEXT,
  leader_id TEXT,
  starts_at TEXT NOT NULL,
  due_at TEXT NOT NULL,
  capacity INTEGER NOT NULL DEFAULT 0,
  remarks TEXT NOT NULL DEFAULT '',
  called_off_at TEXT,
  created_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, number),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, site_id) REFERENCES site (society_id, event_id, id),
  FOREIGN KEY (society_id, leader_id) REFERENCES person (society_id, id)
);

-- Erasable: who would like to walk where. wish 1 is the first choice.
CREATE TABLE walk_wish (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  person_id TEXT NOT NULL,
  walk_id TEXT NOT NULL,
  wish INTEGER NOT NULL CHECK (wish > 0),
  with_whom TEXT NOT NULL DEFAULT '',
  wished_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, person_id, walk_id),
  FOREIGN KEY (society_id, event_id, walk_id) REFERENCES walk (society_id, event_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id)
);

CREATE TABLE team_plan (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  team_id TEXT NOT NULL,
  walk_id TEXT,
  due_at TEXT,
  PRIMARY KEY (society_id, event_id, team_id),
  FOREIGN KEY (society_id, event_id, team_id) REFERENCES team (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, walk_id) REFERENCES walk (society_id, event_id, id)
);

-- Who walks with a team. The name is taken away on the set date; what was marked stays.
CREATE TABLE team_member (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  team_id TEXT NOT NULL,
  person_id TEXT,
  name TEXT NOT NULL,
  minor INTEGER NOT NULL DEFAULT 0,
  vulnerable INTEGER NOT NULL DEFAULT 0,
  guardian_id TEXT,
  drives INTEGER NOT NULL DEFAULT 0,
  driver_id TEXT,
  added_by TEXT NOT NULL,
  added_at TEXT NOT NULL,
  removed_at TEXT,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, team_id) REFERENCES team (society_id, event_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, added_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, event_id, guardian_id) REFERENCES team_member (society_id, event_id, id) DEFERRABLE INITIALLY DEFERRED,
  FOREIGN KEY (society_id, event_id, driver_id) REFERENCES team_member (society_id, event_id, id) DEFERRABLE INITIALLY DEFERRED
);

CREATE INDEX team_member_by_team ON team_member (society_id, event_id, team_id);

-- Erasable and private: reading it is written down.
CREATE TABLE member_private (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  member_id TEXT NOT NULL,
  phone TEXT NOT NULL DEFAULT '',
  car_registration TEXT NOT NULL DEFAULT '',
  emergency_contact TEXT NOT NULL DEFAULT '',
  medical TEXT NOT NULL DEFAULT '',
  updated_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, member_id),
  FOREIGN KEY (society_id, event_id, member_id) REFERENCES team_member (society_id, event_id, id)
);

CREATE TABLE head_mark (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  team_id TEXT NOT NULL,
  member_id TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('out', 'back', 'not_going', 'left_early', 'found')),
  marked_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  remarks TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, team_id) REFERENCES team (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, member_id) REFERENCES team_member (society_id, event_id, id),
  FOREIGN KEY (society_id, marked_by) REFERENCES person (society_id, id)
);

CREATE INDEX head_mark_by_team ON head_mark (society_id, event_id, team_id);

-- Heads as counted, and each time a team was heard of or somebody acted because it was not.
CREATE TABLE head_count (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  team_id TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('out', 'back', 'heard', 'rung', 'told', 'search', 'rescue', 'hand_in')),
  heads INTEGER,
  counted_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  remarks TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, team_id) REFERENCES team (society_id, event_id, id),
  FOREIGN KEY (society_id, counted_by) REFERENCES person (society_id, id)
);

CREATE INDEX head_count_by_team ON head_count (society_id, event_id, team_id);

CREATE TABLE number_block (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  from_number INTEGER NOT NULL CHECK (from_number > 0),
  to_number INTEGER NOT NULL CHECK (to_number >= from_number),
  team_id TEXT,
  issued_to TEXT NOT NULL DEFAULT '',
  remarks TEXT NOT NULL DEFAULT '',
  issued_by TEXT NOT NULL,
  issued_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, team_id) REFERENCES team (society_id, event_id, id),
  FOREIGN KEY (society_id, issued_by) REFERENCES person (society_id, id)
);

-- What became of a number that has no plate; the newest row of a number counts.
CREATE TABLE number_fate (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  number_base INTEGER NOT NULL CHECK (number_base > 0),
  number_suffix TEXT NOT NULL DEFAULT '',
  fate TEXT NOT NULL CHECK (fate IN ('spoilt', 'lost', 'found', 'unused')),
  reason TEXT NOT NULL DEFAULT '',
  said_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, said_by) REFERENCES person (society_id, id)
);

CREATE TABLE collection_link (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('split', 'merge')),
  from_id TEXT NOT NULL,
  into_id TEXT NOT NULL,
  reason TEXT NOT NULL DEFAULT '',
  linked_by TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, from_id, into_id),
  FOREIGN KEY (society_id, event_id, from_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, into_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, linked_by) REFERENCES person (society_id, id)
);

-- Seen and left where it was: no plate, no label, no slot.
CREATE TABLE field_record (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  team_id TEXT,
  site_id TEXT,
  observer_id TEXT NOT NULL,
  verbatim TEXT NOT NULL,
  name_key TEXT NOT NULL,
  current_key TEXT NOT NULL,
  name TEXT NOT NULL,
  author TEXT NOT NULL DEFAULT '',
  name_rank TEXT NOT NULL DEFAULT '',
  qualifier TEXT NOT NULL DEFAULT '',
  qualifier_position TEXT NOT NULL DEFAULT '',
  checklist_rev TEXT NOT NULL,
  substrate TEXT NOT NULL DEFAULT '',
  host TEXT NOT NULL DEFAULT '',
  outside INTEGER NOT NULL DEFAULT 0,
  remarks TEXT NOT NULL DEFAULT '',
  entered_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, team_id) REFERENCES team (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, site_id) REFERENCES site (society_id, event_id, id),
  FOREIGN KEY (society_id, observer_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, entered_by) REFERENCES person (society_id, id)
);

-- Who stands behind a field record, and who took one back.
CREATE TABLE field_word (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  record_id TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('stand', 'strike')),
  person_id TEXT NOT NULL,
  writer_id TEXT NOT NULL,
  remarks TEXT NOT NULL DEFAULT '',
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, record_id) REFERENCES field_record (society_id, event_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, writer_id) REFERENCES person (society_id, id)
);

CREATE TABLE field_tally (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  record_id TEXT NOT NULL,
  n INTEGER NOT NULL CHECK (n <> 0),
  counted_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, record_id) REFERENCES field_record (society_id, event_id, id),
  FOREIGN KEY (society_id, counted_by) REFERENCES person (society_id, id)
);

CREATE TABLE incident (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  collection_id TEXT,
  what TEXT NOT NULL DEFAULT '',
  who TEXT NOT NULL CHECK (who IN ('adult', 'child', 'animal')),
  eaten_at TEXT,
  eaten_text TEXT NOT NULL DEFAULT '',
  how_much TEXT NOT NULL DEFAULT '',
  signs TEXT NOT NULL DEFAULT '',
  opened_by TEXT NOT NULL,
  opened_at TEXT NOT NULL,
  closed_by TEXT,
  closed_at TEXT,
  closing_words TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, opened_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, closed_by) REFERENCES person (society_id, id)
);

CREATE TABLE incident_note (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  incident_id TEXT NOT NULL,
  words TEXT NOT NULL,
  noted_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, incident_id) REFERENCES incident (society_id, event_id, id),
  FOREIGN KEY (society_id, noted_by) REFERENCES person (society_id, id)
);

-- The pictures themselves are kept by their SHA-256; the exact point is never given out.
CREATE TABLE photograph (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('find', 'slip', 'field', 'incident')),
  collection_id TEXT,
  record_id TEXT,
  incident_id TEXT,
  private INTEGER NOT NULL DEFAULT 0,
  sha256 TEXT NOT NULL,
  small_sha256 TEXT NOT NULL,
  width INTEGER NOT NULL,
  height INTEGER NOT NULL,
  bytes INTEGER NOT NULL,
  caption TEXT NOT NULL DEFAULT '',
  taken_at TEXT,
  latitude REAL,
  longitude REAL,
  taken_by TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  hidden_at TEXT,
  hidden_by TEXT,
  hidden_why TEXT NOT NULL DEFAULT '',
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, record_id) REFERENCES field_record (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, incident_id) REFERENCES incident (society_id, event_id, id),
  FOREIGN KEY (society_id, taken_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, hidden_by) REFERENCES person (society_id, id)
);

CREATE INDEX photograph_by_collection ON photograph (society_id, event_id, collection_id);
CREATE INDEX photograph_by_sha256 ON photograph (sha256);
CREATE INDEX photograph_by_small_sha256 ON photograph (small_sha256);

-- Sign-in by invitation; the secret itself is only in the link.
CREATE TABLE invitation (
  society_id TEXT NOT NULL,
  id TEXT NOT NULL,
  event_id TEXT,
  person_id TEXT,
  name TEXT NOT NULL DEFAULT '',
  rights TEXT NOT NULL DEFAULT '',
  secret_sha256 TEXT NOT NULL UNIQUE,
  made_by TEXT NOT NULL,
  made_at TEXT NOT NULL,
  expires_at TEXT NOT NULL,
  used_at TEXT,
  used_by TEXT,
  taken_back_at TEXT,
  PRIMARY KEY (society_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, made_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, used_by) REFERENCES person (society_id, id)
);

CREATE TABLE hall_pass (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  held TEXT NOT NULL,
  label TEXT NOT NULL DEFAULT '',
  secret_sha256 TEXT NOT NULL UNIQUE,
  most_uses INTEGER NOT NULL DEFAULT 20,
  made_by TEXT NOT NULL,
  made_at TEXT NOT NULL,
  closed_at TEXT,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, made_by) REFERENCES person (society_id, id)
);

CREATE TABLE pass_use (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  pass_id TEXT NOT NULL,
  person_id TEXT NOT NULL,
  account_id TEXT NOT NULL,
  used_at TEXT NOT NULL,
  ended_at TEXT,
  PRIMARY KEY (society_id, event_id, pass_id, person_id),
  FOREIGN KEY (society_id, event_id, pass_id) REFERENCES hall_pass (society_id, event_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, account_id) REFERENCES account (society_id, id)
);

-- Somebody stood before a table and said what is there.
CREATE TABLE sweep (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  table_id TEXT NOT NULL,
  seen INTEGER NOT NULL,
  moved INTEGER NOT NULL,
  missing INTEGER NOT NULL,
  swept_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, table_id) REFERENCES hall_table (society_id, event_id, id),
  FOREIGN KEY (society_id, swept_by) REFERENCES person (society_id, id)
);

-- Every card and sheet in the hall with what it says. One that says what is no longer so is a job until it is out.
CREATE TABLE paper (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('card', 'sheet')),
  collection_id TEXT,
  said TEXT NOT NULL,
  by_hand INTEGER NOT NULL DEFAULT 0,
  change_seq BIGINT NOT NULL,
  made_by TEXT NOT NULL,
  made_at TEXT NOT NULL,
  out_by TEXT,
  out_at TEXT,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, made_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, out_by) REFERENCES person (society_id, id)
);

CREATE INDEX paper_standing ON paper (society_id, event_id, out_at);

-- Protected or controlled where the event takes place, as typed in by who set it up, with the source.
CREATE TABLE taxon_flag (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  name_key TEXT NOT NULL,
  current_key TEXT NOT NULL,
  name TEXT NOT NULL,
  flag TEXT NOT NULL CHECK (flag IN ('protected', 'controlled')),
  source TEXT NOT NULL,
  permit TEXT NOT NULL DEFAULT '',
  added_by TEXT NOT NULL,
  added_at TEXT NOT NULL,
  removed_by TEXT,
  removed_at TEXT,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, added_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, removed_by) REFERENCES person (society_id, id)
);

-- Who read what is private.
CREATE TABLE private_read (
  society_id TEXT NOT NULL,
  id TEXT NOT NULL,
  event_id TEXT,
  person_id TEXT NOT NULL,
  what TEXT NOT NULL,
  subject TEXT,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id)
);

-- Hall and event closed, and opened again: by whom, and what was counted.
CREATE TABLE closing (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  id TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('hall', 'event', 'reopened')),
  hazards_counted INTEGER NOT NULL DEFAULT 0,
  words TEXT NOT NULL DEFAULT '',
  closed_by TEXT NOT NULL,
  happened_at TEXT NOT NULL,
  recorded_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, closed_by) REFERENCES person (society_id, id)
);

-- The form groups that a person determines at an event: a queue shows theirs first.
CREATE TABLE person_group (
  society_id TEXT NOT NULL,
  event_id TEXT NOT NULL,
  person_id TEXT NOT NULL,
  form_group TEXT NOT NULL,
  said_by TEXT NOT NULL,
  said_at TEXT NOT NULL,
  PRIMARY KEY (society_id, event_id, person_id, form_group),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, said_by) REFERENCES person (society_id, id)
);

-- +goose StatementBegin
CREATE TRIGGER head_mark_no_update BEFORE UPDATE ON head_mark
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'head_mark is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER head_mark_no_delete BEFORE DELETE ON head_mark
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'head_mark is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER head_count_no_update BEFORE UPDATE ON head_count
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'head_count is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER head_count_no_delete BEFORE DELETE ON head_count
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'head_count is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER number_fate_no_update BEFORE UPDATE ON number_fate
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'number_fate is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER number_fate_no_delete BEFORE DELETE ON number_fate
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'number_fate is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER collection_link_no_update BEFORE UPDATE ON collection_link
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'collection_link is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER collection_link_no_delete BEFORE DELETE ON collection_link
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'collection_link is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER field_record_no_update BEFORE UPDATE ON field_record
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'field_record is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER field_record_no_delete BEFORE DELETE ON field_record
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'field_record is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER field_word_no_update BEFORE UPDATE ON field_word
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'field_word is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER field_word_no_delete BEFORE DELETE ON field_word
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'field_word is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER field_tally_no_update BEFORE UPDATE ON field_tally
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'field_tally is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER field_tally_no_delete BEFORE DELETE ON field_tally
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'field_tally is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER incident_note_no_update BEFORE UPDATE ON incident_note
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'incident_note is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER incident_note_no_delete BEFORE DELETE ON incident_note
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'incident_note is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sweep_no_update BEFORE UPDATE ON sweep
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'sweep is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER sweep_no_delete BEFORE DELETE ON sweep
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'sweep is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER private_read_no_update BEFORE UPDATE ON private_read
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'private_read is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER private_read_no_delete BEFORE DELETE ON private_read
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'private_read is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER closing_no_update BEFORE UPDATE ON closing
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'closing is append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER closing_no_delete BEFORE DELETE ON closing
WHEN NOT EXISTS (SELECT 1 FROM maintenance)
BEGIN SELECT RAISE(ABORT, 'closing is append-only'); END;
-- +goose StatementEnd
