package api_test

// drawnRoutes is what each persona is answered, in the order of personas. What follows a # tells rows of one route apart.
const drawnRoutes = `
POST /commands                              401 200 200 200 200 200 200 200 200 200 200 404
GET /events                                 200 200 200 200 200 200 200 200 200 200 200 200
GET /names                                  200 200 200 200 200 200 200 200 200 200 200 200
GET /openapi.json                           200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}                      200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/collections          401 200 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/collections/{number} 401 404 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/queue                401 403 200 200 200 200 200 200 403 200 200 404
GET /{society}/{event}/identifiers          401 403 200 200 200 200 200 200 403 200 200 404
GET /{society}/{event}/tables/{number}/walk 401 403 200 200 200 200 200 200 403 200 200 404
GET /{society}/{event}/desk                 401 403 403 200 403 403 200 200 403 200 200 404
GET /{society}/{event}/incomplete           401 403 403 200 403 403 200 200 403 200 200 404
GET /{society}/{event}/numbers              401 403 403 200 403 403 200 200 403 200 200 404
GET /{society}/{event}/teams                401 403 403 200 403 403 403 403 200 403 200 404
GET /{society}/{event}/teams/{number}       401 403 200 200 403 403 403 403 200 403 200 404
GET /{society}/{event}/teams/{number}/private 401 403 200 403 403 403 403 403 200 403 200 404
GET /{society}/{event}/own-teams            401 403 200 403 403 403 403 403 403 403 200 404
GET /{society}/{event}/private-reads        401 403 403 403 403 403 403 403 200 403 200 404
GET /{society}/{event}/walks                200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/list                 200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/list/{version}       200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/tables               200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}                              200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/tables/{number}      200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/finds/{number}       200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/taxa/{name}          200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/hazards              401 403 403 403 403 403 403 403 200 403 403 404
GET /{society}/{event}/people               401 403 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/checklists           401 403 403 403 403 403 403 403 403 403 200 404
GET /{society}/{event}/setup                401 403 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/card-stocks          401 403 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/publisher            401 403 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/records              200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/archive              422 422 422 422 422 422 422 422 422 422 422 422
GET /{society}/{event}/law                  401 403 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/worth                200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/rain                 401 403 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/sites                200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/closing              401 403 403 403 403 403 403 403 403 403 200 404
GET /{society}/{event}/corrections          401 403 403 403 403 403 200 200 403 200 403 404
GET /{society}/{event}/asked                200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/warnings             200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/photographs          200 200 200 200 200 200 200 200 200 200 200 200
POST /{society}/{event}/photographs         401 404 200 200 200 200 200 200 403 200 200 404
GET /{society}/{event}/photographs/{id}/{size} 200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/changes              200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/changes/stream       200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/plan                 401 403 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/vouchers             401 403 403 200 403 200 200 200 403 200 200 404
GET /{society}/{event}/papers               401 403 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/wall                 401 403 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/incidents/{incident} 401 403 404 404 404 404 404 404 200 404 404 404
GET /{society}/{event}/incidents/{incident}#own 401 403 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/list/{version}/changes 200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/list/{version}/today 200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/firsts               200 200 200 200 200 200 200 200 200 200 200 200
GET /{society}/{event}/earlier-lists        401 403 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/earlier-lists/{list} 401 403 200 200 200 200 200 200 200 200 200 404
GET /{society}/{event}/seen                 401 200 200 200 200 200 200 200 200 200 200 404
`

// drawnCommands is what each persona's command comes to: x applied, . not allowed, - not told that it is there. Columns
// are personas from member to organiser; visitors and strangers send none. The last row leaves nobody a token.
const drawnCommands = `
collection.log.v1                    . . x . . x x . x x
collection.correct.v1                . . x . . x x . x x
collection.split.v1                  . . x . . x x . x x
collection.merge.v1                  . . x . . x x . x x
collection.spoil.v1                  . . x . . x x . x x
collection.hand.v1                   . . x . . x x . x x
number.fate.v1                       . . x . . x x . x x
character.note.v1                    . x x x x x x . x x
slip.field-name.v1                   . x x x x x x . x x
bench.groups.v1                      . x x x x x x . x x
bench.groups.v1/of-a-determiner      . . . x . . . . . x
slip.sign-off.v1                     . . . . . x x . . .
slip.sign-off.v1/for-a-determiner    . . . x . . . . . .
slip.not-nameable.v1                 . . . . . x x . . .
slip.not-fungus.v1                   . . . . . x x . . .
slip.strike.v1/of-the-identifier     . . . . . x . . . .
plate.place.v1/table                 . . . . x . . . . x
plate.place.v1/desk                  . . x . x x x . x x
plate.place.v1/dryer                 . . x . x x x . x x
plate.place-several.v1/table         . . . . x . . . . x
plate.place-several.v1/desk          . . x . x x x . x x
plate.place-several.v1/dryer         . . x . x x x . x x
plate.place-several.v1/discarded     . . x . x x x . x x
table.sweep.v1                       . . . . x . . . . x
voucher.choose.v1                    . . x . x x x . x x
voucher.drop.v1                      . . x . x x x . x x
voucher.pack.v1                      . . x . x x x . x x
voucher.unpack.v1                    . . x . x x x . x x
voucher.freeze.v1                    . . x . x x x . x x
voucher.send.v1                      . . x . x x x . x x
voucher.code.v1/tissue               . . x . x x x . x x
voucher.code.v1/accession            . . . . . x x . x x
voucher.code-right.v1                . . . . . x x . x x
dryer.add.v1                         . . x . x x x . x x
dryer.take.v1                        . . x . x x x . x x
dryer.load.v1                        . . x . x x x . x x
dryer.take-out.v1                    . . x . x x x . x x
dryer.temperature.v1                 . . x . x x x . x x
card.make.v1                         . . . . x . . . . x
paper.swap.v1                        . . . . x . . x . x
sheet.hang.v1                        . . . . x . . x . x
incident.open.v1                     . x x x x x x x x x
incident.note.v1/of-another          - - - - - - - x - -
incident.note.v1/own                 - x x x x x x x x x
incident.close.v1/of-another         . . . . . . . x . .
incident.close.v1/own                . . . . . . . x . .
field.record.v1                      x x x x x x x x x x
field.record.v1/for-another          . x x x x x x . x x
field.tally.v1/of-another            - x x x x x x - x x
field.tally.v1/own                   x x x x x x x x x x
field.stand.v1                       . . . . . x x . . .
field.stand.v1/for-a-determiner      . . . x . . . . . .
field.strike.v1/of-another           - . . . . x x - x .
field.strike.v1/own                  x x x x x x x x x x
list.publish.v1                      . . . . . . . . x .
earlier-list.add.v1                  . . . . . . . . x x
earlier-list.withdraw.v1             . . . . . . . . x x
correction.ask.v1                    x x x x x x x x x x
correction.ask-back.v1               . . . . . . . . x .
correction.pass.v1                   . . . . . . . . x .
correction.answer.v1                 . . . . . . . . x .
correction.reopen.v1                 . . . . . . . . x .
correction.release.v1                . . . . . . . . x .
correction.reply.v1                  x x x x x x x x x x
correction.forget.v1                 x x x x x x x x x x
correction.forget.v1/keeper          . . . . . . . . x .
poison-contact.type.v1               . . . . . . . x . .
poison-contact.test.v1               . . . . . . . x . .
hazard.add.v1                        . . . . . . . x . .
hazard.pair.v1                       . . . . . . . x . .
hazard.contest.v1                    . . . . . . . x . .
hazard.withdraw.v1                   . . . . . . . x . .
hazard.import.v1                     . . . . . . . x . .
photograph.hide.v1                   . . x . . x x x x x
site.add.v1                          . . . . . . . . . x
team.add.v1                          . . . . . . . . . x
table.add.v1                         . . . . . . . . . x
right.give.v1                        . . . . . . . . . x
right.take.v1                        . . . . . . . . . x
invitation.make.v1                   . . . . . . . . . x
invitation.take-back.v1              . . . . . . . . . x
pass.make.v1                         . . . . . . . . . x
pass.end.v1                          . . . . . . . . . x
credit.set.v1                        x x x x x x x x x x
event.add.v1                         x x x x x x x x x x
event.from.v1/of-staff               . x x x x x x x x x
event.change.v1                      . . . . . . . . . x
society.borrowed-names.v1            . . . . . . . . . x
society.publisher.v1                 . . . . . . . . . x
society.checklist.v1                 . . . . . . . . . x
event.rain.v1                        . . . . . . . . x x
event.move-group.v1                  . . . . . . . . . x
site.change.v1                       . . . . . . . . . x
walk.add.v1                          . . . . . . . . . x
walk.change.v1                       . . . . . . . . . x
walk.call-off.v1                     . . . . . . . . . x
team.change.v1                       . . . . . . . . . x
table.change.v1                      . . . . . . . . . x
block.issue.v1                       . . . . . . . . . x
flag.add.v1                          . . . . . . . . . x
flag.change.v1                       . . . . . . . . . x
flag.take.v1                         . . . . . . . . . x
flag.take-over.v1                    . . . . . . . . . x
card-stock.add.v1                    . . . . x . . . . x
card-stock.take.v1                   . . . . x . . . . x
team.out.v1                          . x . . . . . . . x
team.heard.v1                        . x x . . . . x . x
team.back.v1                         . x x . . . . x . x
team.mark.v1                         . x x . . . . x . x
team.hand-in.v1                      . x x . . . . x . x
team.act.v1                          . . x . . . . x . x
sheet.enter.v1                       . . x . . . . x . x
member.add.v1                        . x x . . . . x . x
member.change.v1                     . x x . . . . x . x
member.take-off.v1                   . x x . . . . x . x
member.private.v1                    . x . . . . . x . x
walk.wish.v1                         x x x x x x x x x x
event.close-hall.v1                  . . . . . . . . . x
event.reopen.v1                      . . . . . . . . . x
event.close.v1                       . . . . . . . . . x
token.end.v1                         x x x x x x x x x x
session.end-all.v1                   x x x x x x x x x x
`
