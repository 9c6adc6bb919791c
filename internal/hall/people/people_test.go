package people_test

import (
	"context"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/golang-jwt/jwt/v5"

	"forayhall/internal/access"
	"forayhall/internal/fault"
	"forayhall/internal/hall/desk"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
)

var ctx = context.Background()

// in signs in; who asks whose token it is.
func in(t testing.TB, g *halltest.Ground, login string) string {
	t.Helper()
	token, _, err := g.Desk.SignIn(ctx, login, halltest.Password)
	if err != nil {
		t.Fatal(err)
	}
	return token
}

func who(t testing.TB, g *halltest.Ground, token string) access.Actor {
	t.Helper()
	actor, _, err := g.Desk.Who(ctx, token, "browser")
	if err != nil {
		t.Fatal(err)
	}
	return actor
}

func TestAnUnknownLoginAndAWrongPasswordAreAnsweredAlike(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		if actor := who(t, g, in(t, g, " Desk ")); actor.Person != g.As[access.Desk].Person || actor.Only != nil {
			t.Errorf("signed in as %+v", actor)
		}
		for range 7 {
			_, _, wrong := g.Desk.SignIn(ctx, "desk", "chanterelle-baskets")
			_, _, unknown := g.Desk.SignIn(ctx, "nobody", halltest.Password)
			if !fault.Is(wrong, fault.Refused) || wrong.Error() != unknown.Error() {
				t.Fatalf("wrong: %v, unknown: %v", wrong, unknown)
			}
		}
		_, _, long := g.Desk.SignIn(ctx, strings.Repeat("x", 201), halltest.Password)
		if !fault.Is(long, fault.Refused) {
			t.Errorf("a login without end: %v", long)
		}
		_, _, eighth := g.Desk.SignIn(ctx, "nobody", halltest.Password)
		_, _, ninth := g.Desk.SignIn(ctx, "nobody", halltest.Password)
		if !fault.Is(eighth, fault.Refused) || !fault.Is(ninth, fault.TooMany) {
			t.Errorf("an unknown login is closed too: %v, then %v", eighth, ninth)
		}
	})
}

func TestALoginClosesAfterEightFailuresAndOpensAgain(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		fail := func(n int) {
			for range n {
				if _, _, err := g.Desk.SignIn(ctx, "desk", "wrong-password"); !fault.Is(err, fault.Refused) {
					t.Fatalf("a wrong password: %v", err)
				}
			}
		}
		fail(7)
		in(t, g, "desk") // a success forgets them
		fail(8)
		if _, _, err := g.Desk.SignIn(ctx, "desk", halltest.Password); !fault.Is(err, fault.TooMany) {
			t.Errorf("the ninth, with the right password: %v", err)
		}
		in(t, g, "steward") // per account: the hall is one address
		g.Pass(15*time.Minute + time.Second)
		in(t, g, "desk")
		fail(7)
		g.Pass(16 * time.Minute) // what is older than the window is forgotten
		fail(7)
		in(t, g, "desk")
	})
}

// Guesses sent at the same time count like guesses sent one by one: after the eighth no answer says whether it was right.
func TestABurstOfGuessesIsStoppedToo(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		_, _, _ = g.Desk.SignIn(ctx, "desk", "wrong-password")
		var wg sync.WaitGroup
		var mu sync.Mutex
		told := 1
		for range 40 {
			wg.Go(func() {
				if _, _, err := g.Desk.SignIn(ctx, "desk", "wrong-password"); fault.Is(err, fault.Refused) {
					mu.Lock()
					told++
					mu.Unlock()
				}
			})
		}
		wg.Wait()
		if told != 8 {
			t.Errorf("%d guesses were answered", told)
		}
	})
}

func TestSigningOutIsImmediateAndEndsThatSessionOnly(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		phone, laptop := in(t, g, "desk"), in(t, g, "desk")
		if err := g.Desk.SignOut(ctx, who(t, g, phone)); err != nil {
			t.Fatal(err)
		}
		if who(t, g, phone).SignedIn() || !who(t, g, laptop).SignedIn() {
			t.Error("the wrong session ended")
		}
		if err := g.Desk.SetPassword(ctx, "desk", "another-basket"); err != nil {
			t.Fatal(err)
		}
		if who(t, g, laptop).SignedIn() {
			t.Error("a session outlived its password")
		}
		if _, _, err := g.Desk.SignIn(ctx, "desk", halltest.Password); !fault.Is(err, fault.Refused) {
			t.Errorf("the old password: %v", err)
		}
		other := in(t, g, "steward")
		g.Pass(people.SessionLength)
		if who(t, g, other).SignedIn() {
			t.Error("a session never ends")
		}
	})
}

func TestATokenIsLimitedToItsRightsAndToItsKind(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		token, err := g.Desk.Token(ctx, "organiser", "label printer", []access.Right{access.Member, access.Organiser}, time.Hour)
		if err != nil {
			t.Fatal(err)
		}
		narrow, err := g.Desk.Token(ctx, "organiser", "wall", []access.Right{access.Member}, time.Hour)
		if err != nil {
			t.Fatal(err)
		}
		if who(t, g, token).SignedIn() {
			t.Error("a bearer token passes for a browser's")
		}
		logs := func(token, number string) error {
			actor, _, err := g.Desk.Who(ctx, token, "token")
			if err != nil {
				t.Fatal(err)
			}
			_, err = desk.LogCollection(ctx, g.Hall, actor, g.Scope, g.Command(t), desk.Log{Number: number, Field: desk.Field{Group: "bolete"}})
			return err
		}
		if err := logs(token, "1"); err != nil {
			t.Errorf("an organiser's token logs: %v", err)
		}
		if err := logs(narrow, "2"); !fault.Is(err, fault.NotAllowed) {
			t.Errorf("a member's token of an organiser logs: %v", err)
		}
		g.Pass(time.Hour)
		if err := logs(token, "3"); !fault.Is(err, fault.NotSignedIn) {
			t.Errorf("a token past its hour logs: %v", err)
		}
	})
}

func TestAForgedTokenIsNobody(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		good := in(t, g, "desk")
		session := who(t, g, good).Session.String()
		secret := g.Desk.Keys[0].Secret
		forge := func(method jwt.SigningMethod, key any, kid string, claims jwt.MapClaims) string {
			token := jwt.NewWithClaims(method, claims)
			token.Header["kid"] = kid
			signed, err := token.SignedString(key)
			if err != nil {
				t.Fatal(err)
			}
			return signed
		}
		until := halltest.Saturday.Add(time.Hour).Unix()
		whole := jwt.MapClaims{"sid": session, "exp": until}
		if !who(t, g, forge(jwt.SigningMethodHS256, secret, "test", whole)).SignedIn() {
			t.Fatal("the forge of this test is broken")
		}
		parts := strings.Split(good, ".")
		for name, token := range map[string]string{
			"nothing":               "",
			"no token":              "a.b.c",
			"the signature removed": parts[0] + "." + parts[1] + ".",
			"a changed signature":   good[:len(good)-2] + "AA",
			"another body":          parts[0] + "." + strings.Split(forge(jwt.SigningMethodHS256, secret, "test", jwt.MapClaims{"sid": session, "exp": until + 1}), ".")[1] + "." + parts[2],
			"another key":           forge(jwt.SigningMethodHS256, []byte("ffffffffffffffffffffffffffffffff"), "test", whole),
			"an unknown key id":     forge(jwt.SigningMethodHS256, secret, "other", whole),
			"alg none":              forge(jwt.SigningMethodNone, jwt.UnsafeAllowNoneSignatureType, "test", whole),
			"another method":        forge(jwt.SigningMethodHS512, secret, "test", whole),
			"expired":               forge(jwt.SigningMethodHS256, secret, "test", jwt.MapClaims{"sid": session, "exp": halltest.Saturday.Unix() - 1}),
			"without an end":        forge(jwt.SigningMethodHS256, secret, "test", jwt.MapClaims{"sid": session}),
			"no such session":       forge(jwt.SigningMethodHS256, secret, "test", jwt.MapClaims{"sid": "017f22e2-79b0-7cc3-98c4-dc0c0c07398f", "exp": until}),
			"rights of its own":     forge(jwt.SigningMethodHS256, secret, "test", jwt.MapClaims{"rights": "organiser", "exp": until}),
		} {
			if actor := who(t, g, token); actor.SignedIn() {
				t.Errorf("%s is %+v", name, actor)
			}
		}
		g.Desk.Keys = append([]people.Key{{ID: "new", Secret: []byte("abcdefghijklmnopqrstuvwxyz012345")}}, g.Desk.Keys...)
		if !who(t, g, good).SignedIn() || !who(t, g, in(t, g, "steward")).SignedIn() {
			t.Error("a new key signs everybody out")
		}
	})
}

func TestALoginIsTakenOnce(t *testing.T) {
	halltest.Each(t, func(t *testing.T, g *halltest.Ground) {
		_, err := g.Desk.AddAccount(ctx, people.Account{Society: "hollinbeck", Name: "Somebody Else", Login: "DESK", Password: halltest.Password})
		if _, ok := fault.From(err).Fields["login"]; !ok {
			t.Errorf("a second desk: %v", err)
		}
		if err := g.Desk.SetPassword(ctx, "nobody", halltest.Password); !fault.Is(err, fault.Invalid) {
			t.Errorf("a password for nobody: %v", err)
		}
	})
}
