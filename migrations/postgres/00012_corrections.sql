-- +goose Up
-- After the event: requests for corrections with what became of each, and personal data that goes on its date.

-- The date on which personal data goes is at most so many months after the event's end, and whoever asked for a
-- correction is forgotten so many months after the answer.
ALTER TABLE event ADD COLUMN personal_months integer NOT NULL DEFAULT 12 CHECK (personal_months BETWEEN 1 AND 36);
ALTER TABLE event ADD COLUMN contact_months integer NOT NULL DEFAULT 6 CHECK (contact_months BETWEEN 1 AND 36);

-- Somebody says that a find, a field record, a line of a signed version, or the list is wrong. Never changed, never
-- deleted; what became of it is in correction_act. The secret itself is only in the sender's address.
CREATE TABLE correction (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  seq integer NOT NULL CHECK (seq > 0),
  about text COLLATE "C" NOT NULL CHECK (about IN ('find', 'record', 'line', 'list')),
  collection_id uuid,
  record_id uuid,
  version integer, -- the signed version that was read; none: the running list
  line text COLLATE "C" NOT NULL DEFAULT '', -- the name as that list prints it
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('name', 'place', 'date', 'person', 'private', 'other')),
  verbatim text COLLATE "C" NOT NULL DEFAULT '', -- the name that is proposed, as it was written
  name_key text COLLATE "C" NOT NULL DEFAULT '',
  current_key text COLLATE "C" NOT NULL DEFAULT '',
  name text COLLATE "C" NOT NULL DEFAULT '',
  author text COLLATE "C" NOT NULL DEFAULT '',
  qualifier text COLLATE "C" NOT NULL DEFAULT '',
  checklist_rev text COLLATE "C" NOT NULL DEFAULT '',
  words text COLLATE "C" NOT NULL,
  evidence text COLLATE "C" NOT NULL DEFAULT '',
  person_id uuid, -- none: sent by a visitor
  secret_sha256 text COLLATE "C" NOT NULL UNIQUE,
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, seq),
  FOREIGN KEY (society_id, event_id) REFERENCES event (society_id, id),
  FOREIGN KEY (society_id, event_id, collection_id) REFERENCES collection (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, record_id) REFERENCES field_record (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, version) REFERENCES publication (society_id, event_id, version),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  CHECK ((about = 'find') = (collection_id IS NOT NULL)),
  CHECK ((about = 'record') = (record_id IS NOT NULL)),
  CHECK ((about = 'line') = (line <> ''))
);

CREATE INDEX correction_by_collection ON correction (society_id, event_id, collection_id);
CREATE INDEX correction_by_time ON correction (society_id, event_id, recorded_at);

-- Erasable and private: who asked, how to reach them, and whether their name may be shown.
CREATE TABLE correction_contact (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  correction_id uuid NOT NULL,
  name text COLLATE "C" NOT NULL DEFAULT '',
  reach text COLLATE "C" NOT NULL DEFAULT '',
  show_name boolean NOT NULL DEFAULT false,
  PRIMARY KEY (society_id, event_id, correction_id),
  FOREIGN KEY (society_id, event_id, correction_id) REFERENCES correction (society_id, event_id, id)
);

-- What was done about a request, by whom and when; the newest of the first five kinds says how it stands.
CREATE TABLE correction_act (
  society_id uuid NOT NULL,
  event_id uuid NOT NULL,
  id uuid NOT NULL,
  correction_id uuid NOT NULL,
  seq integer NOT NULL CHECK (seq > 0),
  kind text COLLATE "C" NOT NULL CHECK (kind IN ('asked', 'passed', 'done', 'unchanged', 'reopened', 'said', 'released', 'kept_back', 'erased')),
  words text COLLATE "C" NOT NULL DEFAULT '',
  changed text COLLATE "C" NOT NULL DEFAULT '' CHECK (changed IN ('', 'slip', 'field', 'record', 'place', 'other')),
  slip_id uuid,
  to_id uuid, -- the identifier to whom it was passed
  person_id uuid, -- none: the sender, by their own address
  recorded_at timestamptz NOT NULL,
  PRIMARY KEY (society_id, event_id, id),
  UNIQUE (society_id, event_id, correction_id, seq),
  FOREIGN KEY (society_id, event_id, correction_id) REFERENCES correction (society_id, event_id, id),
  FOREIGN KEY (society_id, event_id, slip_id) REFERENCES slip (society_id, event_id, id),
  FOREIGN KEY (society_id, to_id) REFERENCES person (society_id, id),
  FOREIGN KEY (society_id, person_id) REFERENCES person (society_id, id),
  CHECK ((changed = 'slip') = (slip_id IS NOT NULL)),
  CHECK (changed = '' OR kind = 'done'),
  CHECK (kind NOT IN ('asked', 'done', 'unchanged', 'reopened', 'said') OR words <> '')
);

-- When a job of the installation last ran. Its row is locked while it runs, so that instances take turns.
CREATE TABLE chore (
  name text COLLATE "C" NOT NULL PRIMARY KEY,
  looked_at timestamptz NOT NULL,
  held_since timestamptz
);

CREATE TRIGGER correction_append_only BEFORE UPDATE OR DELETE ON correction FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER correction_no_truncate BEFORE TRUNCATE ON correction FOR EACH STATEMENT EXECUTE FUNCTION append_only();
CREATE TRIGGER correction_act_append_only BEFORE UPDATE OR DELETE ON correction_act FOR EACH ROW EXECUTE FUNCTION append_only();
CREATE TRIGGER correction_act_no_truncate BEFORE TRUNCATE ON correction_act FOR EACH STATEMENT EXECUTE FUNCTION append_only();
