package api

import (
	"context"
	"reflect"

	"github.com/go-json-experiment/json/jsontext"

	"forayhall/internal/access"
	"forayhall/internal/hall"
	"forayhall/internal/hall/bench"
	"forayhall/internal/hall/checklist"
	"forayhall/internal/hall/closing"
	"forayhall/internal/hall/corrections"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/earlier"
	"forayhall/internal/hall/fieldwork"
	"forayhall/internal/hall/list"
	"forayhall/internal/hall/outside"
	"forayhall/internal/hall/people"
	"forayhall/internal/hall/photographs"
	"forayhall/internal/hall/safety"
	"forayhall/internal/hall/setup"
	"forayhall/internal/hall/tables"
	"forayhall/internal/hall/vouchers"
	"forayhall/internal/hall/worth"
)

// commandType is one kind of command. Types are versioned: a device with an old application still drains its queue,
// so that a type stays here for as long as a device may send it.
type commandType struct {
	name    string
	about   string
	society bool // concerns the society: needs no event
	in, out reflect.Type
	run     func(ctx context.Context, h *hall.Hall, by access.Actor, at access.Scope, cmd hall.Command, body jsontext.Value) (any, error)
}

// commandTypes is every command that the API takes.
var commandTypes = []commandType{
	command("collection.log.v1", "Give a find its number", desk.LogCollection),
	command("collection.correct.v1", "Put field data right; the audit keeps what was there", desk.CorrectField),
	command("collection.split.v1", "Make parts of a mixed collection; each keeps the field data and what was in question", desk.SplitCollection),
	command("collection.merge.v1", "Put two plates of one find together; needs a reason", desk.MergeCollection),
	command("collection.spoil.v1", "Take out what was logged by mistake and nobody has named", desk.Spoil),
	command("collection.hand.v1", "Hand plates from the desk to the bench by their numbers", desk.HandToBench),
	command("number.fate.v1", "Say what became of numbers without a plate: unused, spoilt, lost, found", desk.SayFate),
	command("character.note.v1", "Note fleeting characters", desk.NoteCharacters),
	command("slip.field-name.v1", "Suggest one to five names, best first; needs no base_version", bench.GiveFieldName),
	command("slip.sign-off.v1", "Stand behind a name; needs the base_version it was decided on", bench.SignOff),
	command("slip.not-nameable.v1", "Find that it cannot be named; needs base_version", bench.FindNotNameable),
	command("slip.not-fungus.v1", "Find that it is no fungus; needs base_version", bench.FindNotFungus),
	command("slip.strike.v1", "Take a slip back; it stays to be read; needs base_version", bench.StrikeSlip),
	command("bench.groups.v1", "Say which form groups somebody determines here, in place of what was said before", bench.SayGroups),
	command("plate.place.v1", "Say where a plate is now", tables.PlacePlate),
	command("plate.place-several.v1", "Put several plates to one place by their numbers: all, or none", tables.PlaceSeveral),
	command("table.sweep.v1", "Say what really stands on a table", tables.SweepTable),
	command("card.make.v1", "Remember cards with what they say", tables.MakeCards),
	command("paper.swap.v1", "Say that a wrong card or sheet is gone and a right one stands", tables.SwapPaper),
	command("sheet.hang.v1", "Remember a printed warning sheet", tables.HangSheet),
	command("voucher.choose.v1", "Keep a plate as a voucher, with why; said again it puts that right", vouchers.ChooseVoucher),
	command("voucher.drop.v1", "Keep a plate no longer, with why; what was said stays to be read", vouchers.DropVoucher),
	command("voucher.pack.v1", "Say that vouchers are in their packets: all, or none", vouchers.PackVouchers),
	command("voucher.unpack.v1", "Take back that a voucher was packed, with why", vouchers.UnpackVoucher),
	command("voucher.freeze.v1", "Say that packets went into the freezer, or with out came out", vouchers.FreezeVouchers),
	command("voucher.send.v1", "Send packets to an institution: all, or none", vouchers.SendVouchers),
	command("voucher.code.v1", "Write down a collector's own number, an accession, a tube of tissue or the accession of a sequence", vouchers.AddCode),
	command("voucher.code-right.v1", "Replace one that was wrong, or with no code take it back; the old one stays to be read", vouchers.PutCodeRight),
	command("dryer.add.v1", "Set a dryer up with its trays", vouchers.AddDryer),
	command("dryer.take.v1", "Take an empty dryer away", vouchers.TakeDryer),
	command("dryer.load.v1", "Put plates into the dryer, one number a place: all, or none", vouchers.LoadDryer),
	command("dryer.take-out.v1", "Take plates out of the dryer, cracker dry or not: all, or none", vouchers.TakeOutOfDryer),
	command("dryer.temperature.v1", "Write a temperature down; answers with advice, and bars nothing", vouchers.ReadTemperature),
	command("field.record.v1", "Write down what was seen and left there; a conflict names the record that could be counted instead", fieldwork.AddRecord),
	command("field.tally.v1", "Count more of a field record; fewer takes a slip of the finger back", fieldwork.AddTally),
	command("field.stand.v1", "Stand behind a field record, in one's own name or as scribe for a determiner", fieldwork.StandBehind),
	command("field.strike.v1", "Take a field record back, with a reason; it stays to be read", fieldwork.StrikeRecord),
	command("list.publish.v1", "Sign and freeze the list that was seen after change_seq; with lines_sha256, only while its lines are those", list.Publish),
	command("correction.ask.v1", "Ask that something be put right; the path of the sender's page is in the first answer only, unless the sender made its secret", corrections.SendRequest),
	command("correction.ask-back.v1", "Ask whoever sent a request; it stands on their page, nothing is sent", corrections.AskSender),
	command("correction.pass.v1", "Pass a request to those who determine; their opinion is a slip", corrections.PassOn),
	command("correction.answer.v1", "Say what was put right, or why it stays; everybody may read it", corrections.AnswerRequest),
	command("correction.reopen.v1", "Take an answered request up again", corrections.TakeUpAgain),
	command("correction.release.v1", "Let everybody read what was written in a request, or keep it back again", corrections.Release),
	command("correction.reply.v1", "Add to one's own request, by the secret of its page", corrections.ReplyAsSender),
	command("correction.forget.v1", "Delete who sent a request, by the secret of its page or as a keeper of the list", corrections.ForgetSender),
	command("earlier-list.add.v1", "Take in a list of what was found before, its table as text: every line, or none with the reasons in other", earlier.Add),
	command("earlier-list.withdraw.v1", "Withdraw a list of what was found before; it stays to be read", earlier.Withdraw),
	command("poison-contact.type.v1", "Type in whom to call", safety.TypeContact),
	command("poison-contact.test.v1", "Say that the newest contact was rung and answered", safety.TestContact),
	command("hazard.add.v1", "Add a hazard of the society's own, over what ships; nothing that ships is lowered or removed", safety.AddHazard),
	command("hazard.pair.v1", "Add a look-alike pair of the society's own", safety.AddPair),
	command("hazard.contest.v1", "Say that the society does not agree with a row or pair; its severity stays, and the reason is shown beside it", safety.ContestRow),
	command("hazard.withdraw.v1", "Take an entry of the society back; it stays to be read", safety.Withdraw),
	command("hazard.import.v1", "Take in hazards or pairs from a spreadsheet: every line, or none with the reasons in other", safety.Import),
	command("incident.open.v1", "Write down that something was eaten; private", safety.OpenIncident),
	command("incident.note.v1", "Add what was said or done, and the plate once it is known", safety.NoteIncident),
	command("incident.close.v1", "Say how it ended", safety.CloseIncident),
	command("site.add.v1", "Add a site", setup.AddSite),
	command("team.add.v1", "Add a team", setup.AddTeam),
	command("table.add.v1", "Add a table", setup.AddTable),
	command("right.give.v1", "Give a right for the event", setup.GiveRight),
	command("right.take.v1", "Take a right away", setup.TakeRight),
	forSociety(command("event.add.v1", "Add an event; whoever adds it is its organiser", setup.AddEvent)),
	forSociety(command("event.from.v1", "Add an event as an earlier one was set up; its contact, numbers and collections stay there", setup.AddEventFrom)),
	command("event.change.v1", "Put an event's details right; the audit keeps what was there", setup.ChangeEvent),
	command("society.borrowed-names.v1", "Say whether the society prints common names that borrow a genus; needs an event of it", setup.ChooseBorrowedNames),
	command("society.publisher.v1", "Say under whose name and on which terms the society gives its records out; all of it is shown publicly; needs an event of it", setup.SetPublisher),
	command("society.checklist.v1", "Say which list of names the society follows; the zero id: those that ship; needs an event of it", checklist.Choose),
	command("event.rain.v1", "Enter daily rain at the event's place in mm, as days or as lines of a spreadsheet: all, or none; a day that was entered is replaced, and what stood stays to be read", worth.EnterRain),
	command("event.move-group.v1", "Move a form group by one place in the order of the tables", setup.MoveGroupOnTables),
	command("site.change.v1", "Describe a site anew", setup.ChangeSite),
	command("walk.add.v1", "Add a walk", setup.AddWalk),
	command("walk.change.v1", "Plan a walk anew", setup.ChangeWalk),
	command("walk.call-off.v1", "Call a walk off, or on again", setup.CallWalkOff),
	command("team.change.v1", "Give a team another name, leader, site, walk or due time", setup.ChangeTeam),
	command("table.change.v1", "Set a table up anew; its plates stay", setup.ChangeTable),
	command("block.issue.v1", "Hand out a run of numbers", setup.IssueBlock),
	command("flag.add.v1", "Flag a taxon as protected or controlled", setup.AddFlag),
	command("flag.change.v1", "Write another source or permit for a flag", setup.ChangeFlag),
	command("flag.take.v1", "Take a flag back", setup.TakeFlag),
	command("flag.take-over.v1", "Make flags of what the law tables know under a jurisdiction: all, or some; what is there is left", setup.TakeLawOver),
	command("card-stock.add.v1", "Add paper that the society prints cards on; millimetres", setup.AddStock),
	command("card-stock.take.v1", "Take paper of the society's own away", setup.TakeStock),
	command("team.out.v1", "Count a team out: heads, and everybody on the sheet out or not going", outside.GoOut),
	command("team.heard.v1", "Say that a team was heard from", outside.HearFrom),
	command("team.back.v1", "Count a team back, or some of it: heads in all, and the names that are here", outside.ComeBack),
	command("team.mark.v1", "Mark one person: out, back, not going, home early, found", outside.MarkOne),
	command("team.hand-in.v1", "Hand in the sheet and the collections", outside.TakeIn),
	command("team.act.v1", "Say what the hall did about a late team: rung, told, search, rescue", outside.ActFor),
	command("sheet.enter.v1", "Enter a paper sheet with its true times: all, or none", outside.EnterSheet),
	command("member.add.v1", "Put somebody on a team's sheet; with out, a walk-up", outside.AddMember),
	command("member.change.v1", "Say other things of somebody on a sheet", outside.ChangeMember),
	command("member.take-off.v1", "Take somebody off a sheet who was never marked", outside.TakeOff),
	command("member.private.v1", "Write down telephone, car, emergency contact and medical notes", outside.SetPrivate),
	command("walk.wish.v1", "Say which walks one would like to join, up to three; none takes them back", outside.Wish),
	command("photograph.hide.v1", "Take a photograph from view, with a reason; the record of it stays", photographs.Hide),
	command("event.close-hall.v1", "Close the hall: everybody is back, hazardous plates are cleared and counted", closing.EndDay),
	command("event.close.v1", "Close the event: numbers accounted for, vouchers reconciled, the list signed", closing.EndEvent),
	command("event.reopen.v1", "Take the last closing back, with a reason", closing.OpenAgain),
	command("invitation.make.v1", "Make a link by which one person gets a sign-in; its path is in the first answer only", people.MakeInvitation),
	command("invitation.take-back.v1", "Make a link useless that nobody has used", people.TakeBackInvitation),
	command("pass.make.v1", "Make a pass for one right; its path is in the first answer only", people.MakePass),
	command("pass.end.v1", "End all passes, one, or one person's stay by it", people.EndPass),
	forSociety(command("credit.set.v1", "Choose how one's own name appears where anybody may read it", people.SetCredit)),
	forSociety(command("session.end-all.v1", "Sign oneself out everywhere, tokens too", people.EndSessions)),
	forSociety(command("token.end.v1", "End one of one's own sessions or tokens", people.EndSession)),
}

var commandByName = func() map[string]commandType {
	by := make(map[string]commandType, len(commandTypes))
	for _, t := range commandTypes {
		by[t.name] = t
	}
	return by
}()

func command[In, Out any](name, about string,
	do func(context.Context, *hall.Hall, access.Actor, access.Scope, hall.Command, In) (Out, error)) commandType {
	return commandType{name: name, about: about, in: reflect.TypeFor[In](), out: reflect.TypeFor[Out](),
		run: func(ctx context.Context, h *hall.Hall, by access.Actor, at access.Scope, cmd hall.Command, body jsontext.Value) (any, error) {
			var in In
			if err := decode(body, &in, "/body"); err != nil {
				return nil, err
			}
			return do(ctx, h, by, at, cmd, in)
		}}
}

func forSociety(t commandType) commandType {
	t.society = true
	return t
}
