-- +goose Up
-- The whole hall: walks and who is back, numbers and what became of them, field records, photographs, papers,
-- invitations and passes, incidents, closing. What is added and never changed is guarded by triggers at the end.

ALTER TABLE event ADD COLUMN jurisdiction text COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE event ADD COLUMN group_order text COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE event ADD COLUMN everything_recorded boolean NOT NULL DEFAULT false;
ALTER TABLE event ADD COLUMN ring_min INTEGER NOT NULL DEFAULT 15;
ALTER TABLE event ADD COLUMN tell_min INTEGER NOT NULL DEFAULT 30;
ALTER TABLE event ADD COLUMN search_min INTEGER NOT NULL DEFAULT 60;
ALTER TABLE event ADD COLUMN sunset_min INTEGER NOT NULL DEFAULT 60;
ALTER TABLE event ADD COLUMN silence_min INTEGER NOT NULL DEFAULT 90;
ALTER TABLE event ADD COLUMN delete_personal_on text COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE site ADD COLUMN directions text COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE site ADD COLUMN permit text COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE site ADD COLUMN count_needed boolean NOT NULL DEFAULT false;
ALTER TABLE hall_table ADD COLUMN form_groups text COLLATE "C" NOT NULL DEFAULT '';
ALTER TABLE hall_table ADD COLUMN length_mm INTEGER NOT NULL DEFAULT 1830;
ALTER TABLE hall_table ADD COLUMN depth_mm INTEGER NOT NULL DEFAULT 760;
ALTER TABLE hall_table ADD COLUMN plan_x_mm INTEGER NOT NULL DEFAULT 0;
ALTER TABLE hall_table ADD COLUMN plan_y_mm INTEGER NOT NULL DEFAULT 0;
ALTER TABLE hall_table ADD COLUMN turned boolean NOT NULL DEFAULT false;

-- What became of the number as a thing: a collection that was split or merged is no plate any more.
ALTER TABLE collection ADD COLUMN fate text COLLATE "C" NOT NULL DEFAULT 'live' CHECK (fate IN ('live', 'split', 'merged', 'spoilt'));

CREATE TABLE walk (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  number INTEGER NOT NULL,
  title text COLLATE "C" NOT NULL DEFAULT '',
  site_id uuid,
  leader_id uuid,
  starts_at timestamptz NOT NULL,
  due_at timestamptz NOT NULL,
  capacity INTEGER NOT NULL DEFAULT 0,
  remarks text COLLATE "C" NOT NULL DEFAULT '',
  called_off_at timestamptz,
  created_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, number),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, site_id) REFERENCES site (society_id, event_id, id),
  FOREIGN KEY (society_id, leader_id) REFERENCES person (society_id, id)
);

-- Erasable: who would like to walk where. wish 1 is the first choice.
CREATE TABLE walk_wish (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  person_id uuid NOT NULL,
  walk_id uuid NOT NULL,
  wish INTEGER NOT NULL CHECK (wish > 0),
  with_whom text COLLATE "C" NOT NULL DEFAULT '',
  wished_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, person_id, walk_id),
  FOREIGN KEY (society_id, event_id, walk_id) REFERENCES walk (society_id, event_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id)
);

CREATE TABLE team_plan (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  team_id uuid NOT NULL,
  walk_id uuid,
  due_at timestamptz,
  PRIMARY KEY (society_id, event_id, team_id),
  FOREIGN KEY (society_id, event_id, team_id) REFERENCES team (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, walk_id) REFERENCES walk (society_id, event_id, id)
);

-- Who walks with a team. The name is taken away on the set date; what was marked stays.
CREATE TABLE team_member (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  team_id uuid NOT NULL,
  person_id uuid,
  name text COLLATE "C" NOT NULL,
  minor boolean NOT NULL DEFAULT false,
  vulnerable boolean NOT NULL DEFAULT false,
  guardian_id uuid,
  drives boolean NOT NULL DEFAULT false,
  driver_id uuid,
  added_by uuid NOT NULL,
  added_at timestamptz NOT NULL,
  removed_at timestamptz,
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
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  member_id uuid NOT NULL,
  phone text COLLATE "C" NOT NULL DEFAULT '',
  car_registration text COLLATE "C" NOT NULL DEFAULT '',
  emergency_contact text COLLATE "C" NOT NULL DEFAULT '',
  medical text COLLATE "C" NOT NULL DEFAULT '',
  updated_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, member_id),
  FOREIGN KEY (society_id, event_id, member_id) REFERENCES team_member (society_id, event_id, id)
);

CREATE TABLE head_mark (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  team_id uuid NOT NULL,
  member_id uuid NOT NULL,
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('out', 'back', 'not_going', 'left_early', 'found')),
  marked_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  remarks text COLLATE "C" NOT NULL DEFAULT '',
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, team_id) REFERENCES team (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, member_id) REFERENCES team_member (society_id, event_id, id),
  FOREIGN KEY (society_id, marked_by) REFERENCES person (society_id, id)
);

CREATE INDEX head_mark_by_team ON head_mark (society_id, event_id, team_id);

-- Heads as counted, and each time a team was heard of or somebody acted because it was not.
CREATE TABLE head_count (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  team_id uuid NOT NULL,
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('out', 'back', 'heard', 'rung', 'told', 'search', 'rescue', 'hand_in')),
  heads INTEGER,
  counted_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  remarks text COLLATE "C" NOT NULL DEFAULT '',
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, team_id) REFERENCES team (society_id, event_id, id),
  FOREIGN KEY (society_id, counted_by) REFERENCES person (society_id, id)
);

CREATE INDEX head_count_by_team ON head_count (society_id, event_id, team_id);

CREATE TABLE number_block (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  from_number INTEGER NOT NULL CHECK (from_number > 0),
  to_number INTEGER NOT NULL CHECK (to_number >= from_number),
  team_id uuid,
  issued_to text COLLATE "C" NOT NULL DEFAULT '',
  remarks text COLLATE "C" NOT NULL DEFAULT '',
  issued_by uuid NOT NULL,
  issued_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, team_id) REFERENCES team (society_id, event_id, id),
  FOREIGN KEY (society_id, issued_by) REFERENCES person (society_id, id)
);

-- What became of a number that has no plate; the newest row of a number counts.
CREATE TABLE number_fate (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  number_base INTEGER NOT NULL CHECK (number_base > 0),
  number_suffix text COLLATE "C" NOT NULL DEFAULT '',
  fate text COLLATE "C" NOT NULL CHECK (fate IN ('spoilt', 'lost', 'found', 'unused')),
  reason text COLLATE "C" NOT NULL DEFAULT '',
  said_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, said_by) REFERENCES person (society_id, id)
);

CREATE TABLE collection_link (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('split', 'merge')),
  from_id uuid NOT NULL,
  into_id uuid NOT NULL,
  reason text COLLATE "C" NOT NULL DEFAULT '',
  linked_by uuid NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, from_id, into_id),
  FOREIGN KEY (society_id, event_id, from_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, into_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, linked_by) REFERENCES person (society_id, id)
);

-- Seen and left where it was: no plate, no label, no slot.
CREATE TABLE field_record (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  team_id uuid,
  site_id uuid,
  observer_id uuid NOT NULL,
  verbatim text COLLATE "C" NOT NULL,
  name_key text COLLATE "C" NOT NULL,
  current_key text COLLATE "C" NOT NULL,
  name text COLLATE "C" NOT NULL,
  author text COLLATE "C" NOT NULL DEFAULT '',
  name_rank text COLLATE "C" NOT NULL DEFAULT '',
  qualifier text COLLATE "C" NOT NULL DEFAULT '',
  qualifier_position text COLLATE "C" NOT NULL DEFAULT '',
  checklist_rev text COLLATE "C" NOT NULL,
  substrate text COLLATE "C" NOT NULL DEFAULT '',
  host text COLLATE "C" NOT NULL DEFAULT '',
  outside boolean NOT NULL DEFAULT false,
  remarks text COLLATE "C" NOT NULL DEFAULT '',
  entered_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, team_id) REFERENCES team (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, site_id) REFERENCES site (society_id, event_id, id),
  FOREIGN KEY (society_id, observer_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, entered_by) REFERENCES person (society_id, id)
);

-- Who stands behind a field record, and who took one back.
CREATE TABLE field_word (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  record_id uuid NOT NULL,
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('stand', 'strike')),
  person_id uuid NOT NULL,
  writer_id uuid NOT NULL,
  remarks text COLLATE "C" NOT NULL DEFAULT '',
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, record_id) REFERENCES field_record (society_id, event_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, writer_id) REFERENCES person (society_id, id)
);

CREATE TABLE field_tally (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  record_id uuid NOT NULL,
  n INTEGER NOT NULL CHECK (n <> 0),
  counted_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, record_id) REFERENCES field_record (society_id, event_id, id),
  FOREIGN KEY (society_id, counted_by) REFERENCES person (society_id, id)
);

CREATE TABLE incident (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  collection_id uuid,
  what text COLLATE "C" NOT NULL DEFAULT '',
  who text COLLATE "C" NOT NULL CHECK (who IN ('adult', 'child', 'animal')),
  eaten_at timestamptz,
  eaten_text text COLLATE "C" NOT NULL DEFAULT '',
  how_much text COLLATE "C" NOT NULL DEFAULT '',
  signs text COLLATE "C" NOT NULL DEFAULT '',
  opened_by uuid NOT NULL,
  opened_at timestamptz NOT NULL,
  closed_by uuid,
  closed_at timestamptz,
  closing_words text COLLATE "C" NOT NULL DEFAULT '',
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, opened_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, closed_by) REFERENCES person (society_id, id)
);

CREATE TABLE incident_note (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  incident_id uuid NOT NULL,
  words text COLLATE "C" NOT NULL,
  noted_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, incident_id) REFERENCES incident (society_id, event_id, id),
  FOREIGN KEY (society_id, noted_by) REFERENCES person (society_id, id)
);

-- The pictures themselves are kept by their SHA-256; the exact point is never given out.
CREATE TABLE photograph (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('find', 'slip', 'field', 'incident')),
  collection_id uuid,
  record_id uuid,
  incident_id uuid,
  private boolean NOT NULL DEFAULT false,
  sha256 text COLLATE "C" NOT NULL,
  small_sha256 text COLLATE "C" NOT NULL,
  width INTEGER NOT NULL,
  height INTEGER NOT NULL,
  bytes INTEGER NOT NULL,
  caption text COLLATE "C" NOT NULL DEFAULT '',
  taken_at timestamptz,
  latitude double precision,
  longitude double precision,
  taken_by uuid NOT NULL,
  recorded_at timestamptz NOT NULL,
  hidden_at timestamptz,
  hidden_by uuid,
  hidden_why text COLLATE "C" NOT NULL DEFAULT '',
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
  society_id uuid NOT NULL,
  id uuid NOT NULL,
  event_id uuid,
  person_id uuid,
  name text COLLATE "C" NOT NULL DEFAULT '',
  rights text COLLATE "C" NOT NULL DEFAULT '',
  secret_sha256 text COLLATE "C" NOT NULL UNIQUE,
  made_by uuid NOT NULL,
  made_at timestamptz NOT NULL,
  expires_at timestamptz NOT NULL,
  used_at timestamptz,
  used_by uuid,
  taken_back_at timestamptz,
  PRIMARY KEY (society_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, made_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, used_by) REFERENCES person (society_id, id)
);

CREATE TABLE hall_pass (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  held text COLLATE "C" NOT NULL,
  label text COLLATE "C" NOT NULL DEFAULT '',
  secret_sha256 text COLLATE "C" NOT NULL UNIQUE,
  most_uses INTEGER NOT NULL DEFAULT 20,
  made_by uuid NOT NULL,
  made_at timestamptz NOT NULL,
  closed_at timestamptz,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, made_by) REFERENCES person (society_id, id)
);

CREATE TABLE pass_use (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  pass_id uuid NOT NULL,
  person_id uuid NOT NULL,
  account_id uuid NOT NULL,
  used_at timestamptz NOT NULL,
  ended_at timestamptz,
  PRIMARY KEY (society_id, event_id, pass_id, person_id),
  FOREIGN KEY (society_id, event_id, pass_id) REFERENCES hall_pass (society_id, event_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, account_id) REFERENCES account (society_id, id)
);

-- Somebody stood before a table and said what is there.
CREATE TABLE sweep (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  table_id uuid NOT NULL,
  seen INTEGER NOT NULL,
  moved INTEGER NOT NULL,
  missing INTEGER NOT NULL,
  swept_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, table_id) REFERENCES hall_table (society_id, event_id, id),
  FOREIGN KEY (society_id, swept_by) REFERENCES person (society_id, id)
);

-- Every card and sheet in the hall with what it says. One that says what is no longer so is a job until it is out.
CREATE TABLE paper (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('card', 'sheet')),
  collection_id uuid,
  said text COLLATE "C" NOT NULL,
  by_hand boolean NOT NULL DEFAULT false,
  change_seq BIGINT NOT NULL,
  made_by uuid NOT NULL,
  made_at timestamptz NOT NULL,
  out_by uuid,
  out_at timestamptz,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, made_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, out_by) REFERENCES person (society_id, id)
);

CREATE INDEX paper_standing ON paper (society_id, event_id, out_at);

-- Protected or controlled where the event takes place, as typed in by who set it up, with the source.
CREATE TABLE taxon_flag (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  name_key text COLLATE "C" NOT NULL,
  current_key text COLLATE "C" NOT NULL,
  name text COLLATE "C" NOT NULL,
  flag text COLLATE "C" NOT NULL CHECK (flag IN ('protected', 'controlled')),
  source text COLLATE "C" NOT NULL,
  permit text COLLATE "C" NOT NULL DEFAULT '',
  added_by uuid NOT NULL,
  added_at timestamptz NOT NULL,
  removed_by uuid,
  removed_at timestamptz,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, added_by) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, removed_by) REFERENCES person (society_id, id)
);

-- Who read what is private.
CREATE TABLE private_read (
  society_id uuid NOT NULL,
  id uuid NOT NULL,
  event_id uuid,
  person_id uuid NOT NULL,
  what text COLLATE "C" NOT NULL,
  subject uuid,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id)
);

-- Hall and event closed, and opened again: by whom, and what was counted.
CREATE TABLE closing (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('hall', 'event', 'reopened')),
  hazards_counted INTEGER NOT NULL DEFAULT 0,
  words text COLLATE "C" NOT NULL DEFAULT '',
  closed_by uuid NOT NULL,
  happened_at timestamptz NOT NULL,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, closed_by) REFERENCES person (society_id, id)
);

-- The form groups that a person determines at an event: a queue shows theirs first.
CREATE TABLE person_group (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  person_id uuid NOT NULL,
  form_group text COLLATE "C" NOT NULL,
  said_by uuid NOT NULL,
  said_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, person_id, form_group),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, said_by) REFERENCES person (society_id, id)
);

CREATE TRIGGER head_mark_append_only BEFORE UPDATE OR DELETE ON head_mark FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER head_mark_no_truncate BEFORE TRUNCATE ON head_mark FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER head_count_append_only BEFORE UPDATE OR DELETE ON head_count FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER head_count_no_truncate BEFORE TRUNCATE ON head_count FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER number_fate_append_only BEFORE UPDATE OR DELETE ON number_fate FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER number_fate_no_truncate BEFORE TRUNCATE ON number_fate FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER collection_link_append_only BEFORE UPDATE OR DELETE ON collection_link FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER collection_link_no_truncate BEFORE TRUNCATE ON collection_link FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER field_record_append_only BEFORE UPDATE OR DELETE ON field_record FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER field_record_no_truncate BEFORE TRUNCATE ON field_record FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER field_word_append_only BEFORE UPDATE OR DELETE ON field_word FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER field_word_no_truncate BEFORE TRUNCATE ON field_word FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER field_tally_append_only BEFORE UPDATE OR DELETE ON field_tally FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER field_tally_no_truncate BEFORE TRUNCATE ON field_tally FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER incident_note_append_only BEFORE UPDATE OR DELETE ON incident_note FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER incident_note_no_truncate BEFORE TRUNCATE ON incident_note FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER sweep_append_only BEFORE UPDATE OR DELETE ON sweep FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER sweep_no_truncate BEFORE TRUNCATE ON sweep FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER private_read_append_only BEFORE UPDATE OR DELETE ON private_read FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER private_read_no_truncate BEFORE TRUNCATE ON private_read FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER closing_append_only BEFORE UPDATE OR DELETE ON closing FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER closing_no_truncate BEFORE TRUNCATE ON closing FOR EACH STATEMENT EXECUTE FUNCTION append_only();
