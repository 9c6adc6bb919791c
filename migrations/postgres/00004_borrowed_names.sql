-- +goose Up
-- Whether common names that borrow the name of a genus are printed is for each society to say.
ALTER TABLE society ADD COLUMN borrowed_names text NOT NULL DEFAULT 'shown' CHECK (borrowed_names IN ('shown', 'left_out'));
