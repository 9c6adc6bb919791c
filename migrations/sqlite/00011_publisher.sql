-- +goose Up
-- Under whose name and on which terms a society gives its records out. All of it is shown publicly: it stands in every
-- archive. Empty is not chosen yet.
ALTER TABLE society ADD COLUMN licence TEXT NOT NULL DEFAULT '' CHECK (licence IN ('', 'CC0-1.0', 'CC-BY-4.0', 'CC-BY-NC-4.0'));
ALTER TABLE society ADD COLUMN publisher_name TEXT NOT NULL DEFAULT ''; -- as it is cited; empty: the society's own
ALTER TABLE society ADD COLUMN data_contact TEXT NOT NULL DEFAULT '';
ALTER TABLE society ADD COLUMN data_mail TEXT NOT NULL DEFAULT '';
ALTER TABLE society ADD COLUMN web_address TEXT NOT NULL DEFAULT '';
ALTER TABLE society ADD COLUMN about TEXT NOT NULL DEFAULT '';
ALTER TABLE society ADD COLUMN institution_code TEXT NOT NULL DEFAULT ''; -- of the fungarium where vouchers go
ALTER TABLE society ADD COLUMN collection_code TEXT NOT NULL DEFAULT '';
