package store

import (
	"fmt"
	"slices"

	"forayhall/internal/foray"
)

// personal is one kind of an event's personal data: rows that go, or columns that are emptied, which the record of the
// finds does not need. Conditions know @society, @event, @now and @unnamed.
type personal struct {
	kind  string // for the screen, see PersonalKinds
	table string
	where string
	set   string // empty: the row goes
}

// ofIncident is the photographs of what somebody ate.
const ofIncident = "SELECT id FROM photograph WHERE society_id = @society AND event_id = @event AND kind = 'incident'"

// spentLink is an invitation that opens nothing any more.
const spentLink = "(used_at IS NOT NULL OR taken_back_at IS NOT NULL OR expires_at <= @now)"

// personalOf lists all of it in an order in which a row goes before what it refers to. That there was an incident stays,
// with when, who of adult, child and animal, and the plate; that a note was made stays, without its words. What was
// marked and counted of a team stays, without names. Photographs of paper slips show what people wrote about themselves;
// those that were hidden show what should not be seen. Blobs that no row names are cleared out afterwards.
var personalOf = []personal{
	{kind: "private", table: "member_private", where: "TRUE"},
	{kind: "wishes", table: "walk_wish", where: "TRUE"},
	{kind: "names", table: "team_member", where: "name <> '' OR person_id IS NOT NULL OR minor OR vulnerable OR drives OR guardian_id IS NOT NULL OR driver_id IS NOT NULL",
		set: "name = '', person_id = NULL, minor = FALSE, vulnerable = FALSE, drives = FALSE, guardian_id = NULL, driver_id = NULL"},
	{kind: "remarks", table: "head_mark", where: "remarks <> ''", set: "remarks = ''"},
	{kind: "remarks", table: "head_count", where: "remarks <> ''", set: "remarks = ''"},
	{kind: "blocks", table: "number_block", where: "issued_to <> ''", set: "issued_to = ''"},
	{kind: "links", table: "invitation", where: spentLink},
	{kind: "incident", table: "incident", where: "what <> '' OR eaten_text <> '' OR how_much <> '' OR signs <> '' OR closing_words <> ''",
		set: "what = '', eaten_text = '', how_much = '', signs = '', closing_words = ''"},
	{kind: "incident", table: "incident_note", where: "words <> @unnamed", set: "words = @unnamed"},
	{kind: "incident", table: "audit", where: "kind = 'photograph.hide' AND detail <> '' AND subject IN (" + ofIncident + ")", set: "detail = ''"},
	{kind: "incident", table: "photograph", where: "kind = 'incident'"},
	{kind: "photographs", table: "audit", where: "kind = 'photograph.hide' AND detail <> ''", set: "detail = ''"},
	{kind: "photographs", table: "photograph", where: "kind = 'slip' OR hidden_at IS NOT NULL"},
}

// PersonalKinds lists the kinds of personal data in the order in which a page names them.
var PersonalKinds = []string{"private", "wishes", "names", "remarks", "incident", "photographs", "links", "passes", "blocks", "contacts"}

func (p personal) scoped() string {
	return " WHERE society_id = @society AND event_id = @event AND (" + p.where + ")"
}

func (p personal) statement() string {
	if p.set == "" {
		return "DELETE FROM " + p.table + p.scoped()
	}
	return "UPDATE " + p.table + " SET " + p.set + p.scoped()
}

// PersonalHeld counts by kind what of an event's personal data is there still.
func (t *Tx) PersonalHeld(society, event foray.ID, now Stamp) (map[string]int, error) {
	args := personalArgs(society, event, now)
	held := map[string]int{}
	for _, p := range append(slices.Clone(personalOf), personal{kind: "passes", table: "pass_use", where: "TRUE"}, personal{kind: "passes", table: "hall_pass", where: "TRUE"}, personal{kind: "contacts", table: "correction_contact", where: "TRUE"}) {
		if p.table == "audit" {
			continue // says why of a row that is counted itself
		}
		var n int
		// Safety: tables and conditions are this package's own.
		if err := t.db.Raw("SELECT COUNT(*) FROM "+p.table+p.scoped(), args).Scan(&n).Error; err != nil {
			return nil, fmt.Errorf("count personal data in %s: %w", p.table, err)
		}
		held[p.kind] += n
	}
	return held, nil
}

func personalArgs(society, event foray.ID, now Stamp) map[string]any {
	return map[string]any{"society": society, "event": event, "unnamed": unnamed, "now": now}
}

// ErasePersonal removes an event's personal data and says how many rows that were; contacts of those who asked for
// corrections go by dates of their own.
func (t *Tx) ErasePersonal(society, event foray.ID, why string, now Stamp) (met int, err error) {
	err = t.Maintain(why, now, func() error {
		known, err := t.knownBy(society, event)
		if err != nil {
			return err
		}
		steps := make([]string, len(personalOf))
		for i, p := range personalOf {
			steps[i] = p.statement()
		}
		n, err := t.run("erase an event's personal data", steps, personalArgs(society, event, now))
		if err != nil {
			return err
		}
		gone, err := t.erasePasses(society, event)
		if err != nil {
			return err
		}
		forgotten, err := t.forgetThose(society, event, known)
		met = int(n) + gone + forgotten
		return err
	})
	return met, err
}

// erasePasses takes away an event's passes with the accounts that they made, but for those that got a sign-in of their own.
func (t *Tx) erasePasses(society, event foray.ID) (int, error) {
	var accounts []foray.ID
	if err := t.db.Raw("SELECT account_id FROM pass_use WHERE society_id = ? AND event_id = ?", society, event).Scan(&accounts).Error; err != nil {
		return 0, fmt.Errorf("look who came in by a pass: %w", err)
	}
	args := personalArgs(society, event, Stamp{})
	args["accounts"] = append(accounts, foray.ID{}) // an empty list is no list
	const orphans = "SELECT id FROM account WHERE society_id = @society AND id IN @accounts AND password_hash = '' AND NOT EXISTS (SELECT 1 FROM pass_use u WHERE u.society_id = account.society_id AND u.account_id = account.id)"
	n, err := t.run("erase passes", []string{
		"DELETE FROM event_right WHERE society_id = @society AND event_id = @event AND " + ofPass,
		"DELETE FROM pass_use WHERE society_id = @society AND event_id = @event",
		"DELETE FROM session WHERE society_id = @society AND account_id IN (" + orphans + ")",
		"DELETE FROM account WHERE society_id = @society AND id IN (" + orphans + ")",
		"DELETE FROM hall_pass WHERE society_id = @society AND event_id = @event",
	}, args)
	return int(n), err
}

// knownBy lists the people whom an event's personal data names: of some of them nothing else may be left afterwards.
func (t *Tx) knownBy(society, event foray.ID) (people []foray.ID, err error) {
	const asked = `SELECT person_id FROM pass_use WHERE society_id = @society AND event_id = @event
		UNION SELECT person_id FROM team_member WHERE society_id = @society AND event_id = @event AND person_id IS NOT NULL
		UNION SELECT person_id FROM walk_wish WHERE society_id = @society AND event_id = @event
		UNION SELECT person_id FROM event_right WHERE society_id = @society AND event_id = @event
		UNION SELECT person_id FROM invitation WHERE society_id = @society AND event_id = @event AND person_id IS NOT NULL
		ORDER BY 1`
	if err = t.db.Raw(asked, personalArgs(society, event, Stamp{})).Scan(&people).Error; err != nil {
		err = fmt.Errorf("look whom personal data names: %w", err)
	}
	return people, err
}

// keepsName are tables beside the record in which a name is needed: who signs in, who walks elsewhere.
var keepsName = []string{"account", "walk_wish", "team_member", "invitation", "pass_use"}

// stays is that a right is needed after the day: of those who determine, keep the list, answer for safety or organise, and of
// whoever holds any in another event.
const stays = "event_id <> @event OR held IN ('identifier', 'chief_identifier', 'list_keeper', 'safety_lead', 'organiser')"

// forgetThose takes away the names of those whom nothing names any more. It asks each table once.
func (t *Tx) forgetThose(society, event foray.ID, people []foray.ID) (int, error) {
	args := personalArgs(society, event, Stamp{})
	args["people"] = append(people, foray.ID{}) // an empty list is no list
	var holders []foray.ID
	if err := t.db.Raw("SELECT DISTINCT person_id FROM event_right WHERE society_id = @society AND person_id IN @people AND ("+stays+")", args).Scan(&holders).Error; err != nil {
		return 0, fmt.Errorf("look who holds a right: %w", err)
	}
	without := func(left, gone []foray.ID) []foray.ID {
		return slices.DeleteFunc(slices.Clone(left), func(id foray.ID) bool { return slices.Contains(gone, id) })
	}
	left := without(people, holders)
	for _, d := range dumpTables {
		for _, c := range d.people {
			if len(left) == 0 {
				return 0, nil
			}
			if slices.Contains(actsOnly, d.name) && !slices.Contains(keepsName, d.name) {
				continue
			}
			var named []foray.ID
			// Safety: the names of tables and columns are this package's own.
			if err := t.db.Raw("SELECT DISTINCT "+c+" FROM "+d.name+" WHERE society_id = ? AND "+c+" IN ?", society, left).Scan(&named).Error; err != nil {
				return 0, fmt.Errorf("look who is on record: %w", err)
			}
			left = without(left, named)
		}
	}
	for _, id := range left {
		if _, err := t.run("forget a name", append([]string{"DELETE FROM event_right WHERE society_id = @society AND person_id = @person"}, forgetName...), map[string]any{"society": society, "person": id, "unnamed": unnamed}); err != nil {
			return 0, err
		}
	}
	return len(left), nil
}

// EraseTraces removes what the installation keeps for a while only: who read what is private, of events whose personal
// data is gone; sessions that ended; failed sign-ins; invitations to a society that open nothing. It says how many rows.
func (t *Tx) EraseTraces(gone []Event, readBefore, endedBefore Stamp, now Stamp) (met int, err error) {
	err = t.Maintain("traces that are older than they are kept", now, func() error {
		for _, e := range gone {
			n, err := t.run("erase who read what was private", []string{"DELETE FROM private_read WHERE society_id = @society AND event_id = @event AND recorded_at < @before"},
				map[string]any{"society": e.SocietyID, "event": e.ID, "before": readBefore})
			if err != nil {
				return err
			}
			met += int(n)
		}
		n, err := t.run("erase traces of signing in", []string{
			"DELETE FROM session WHERE expires_at < @before OR revoked_at < @before",
			"DELETE FROM sign_in_limit WHERE first_at < @before AND (closed_until IS NULL OR closed_until < @before)",
			"DELETE FROM invitation WHERE event_id IS NULL AND expires_at < @before",
		}, map[string]any{"before": endedBefore})
		met += int(n)
		return err
	})
	return met, err
}

// Chore is when a job of the installation last ran.
type Chore struct {
	Name      string `gorm:"primaryKey"`
	LookedAt  Stamp
	HeldSince Stamp // it waits since, because the clock moved further than it does
}

// LockChore keeps other instances from the same job until the transaction ends; ok is false where it never ran.
func (t *Tx) LockChore(name string, now Stamp) (c Chore, ok bool, err error) {
	q := t.db.Exec("INSERT INTO chore (name, looked_at) VALUES (?, ?) ON CONFLICT (name) DO NOTHING", name, now)
	if q.Error != nil {
		return c, false, fmt.Errorf("take a job: %w", q.Error)
	}
	c, err = one[Chore](t.locked().Where("name = ?", name))
	return c, q.RowsAffected == 0, err
}

// SetChore stores that a job ran, or that it waits.
func (t *Tx) SetChore(c Chore) error {
	return changed(t.db.Exec("UPDATE chore SET looked_at = ?, held_since = ? WHERE name = ?", c.LookedAt, c.HeldSince, c.Name), "end a job")
}

// DeletedPersonal is when an event's personal data was deleted, and how many rows that were by the audit; newest first.
func (t *Tx) DeletedPersonal(society, event foray.ID) ([]Audit, error) {
	return t.AuditsOfKinds(society, event, []string{"personal.delete"}, 20)
}

// ImportedBefore reports whether an event was brought in from a package, by the hash of its file.
func (t *Tx) ImportedBefore(society, event foray.ID, detail string) (bool, error) {
	rows, err := many[Audit](t.db.Where("society_id = ? AND kind = 'event.import' AND subject = ? AND detail = ?", society, event, detail).Limit(1))
	return len(rows) > 0, err
}
