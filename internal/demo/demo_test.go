package demo_test

import (
	"context"
	"testing"
	"time"

	"forayhall/internal/demo"
	"forayhall/internal/hall"
	"forayhall/internal/hall/halltest"
	"forayhall/internal/hall/people"
	"forayhall/internal/store"
	"forayhall/internal/store/storetest"
)

func TestX(t *testing.T) {
	s := storetest.New(t, store.SQLite)
	h := hall.New(s, halltest.Knowledge(t))
	d := &people.Desk{Hall: h, Cost: halltest.Cheap}
	b := time.Now()
	signs, err := demo.Fill(context.Background(), h, d)
	t.Log(time.Since(b), signs, err)
	if err != nil {
		t.Fatal(err)
	}
}
