package api_test

import (
	"bytes"
	"mime/multipart"
	"net/http"
	"testing"

	"forayhall/internal/access"
	"forayhall/internal/api"
	"forayhall/internal/hall/halltest"
)

// sendPicture sends a picture as the body.
func (s *served) sendPicture(t *testing.T, as, query string, n int) (int, []byte) {
	t.Helper()
	resp := s.call(t, as, http.MethodPost, "/hollinbeck/HB26/photographs?command="+s.Command(t).ID.String()+query, halltest.Picture(t, n), "Content-Type", "image/jpeg")
	return resp.StatusCode, all(t, resp)
}

func TestAPhotographIsSentListedReadAndHidden(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		_, number := s.logged(t)
		status1, data := s.sendPicture(t, "desk", "&kind=find&caption=cut&subject="+number, 1)
		if status1 != http.StatusOK {
			t.Fatalf("%d %s", status1, data)
		}
		find := read[api.SentPhotograph](t, data)
		command := s.Command(t).ID.String()
		for _, already := range []bool{false, true} {
			var body bytes.Buffer
			w := multipart.NewWriter(&body)
			for name, value := range map[string]string{"command": command, "kind": "slip", "subject": number} {
				if err := w.WriteField(name, value); err != nil {
					t.Fatal(err)
				}
			}
			part, err := w.CreateFormFile("photograph", "slip.jpg")
			if err == nil {
				_, err = part.Write(halltest.Picture(t, 2))
			}
			if err == nil {
				err = w.Close()
			}
			if err != nil {
				t.Fatal(err)
			}
			resp := s.call(t, "desk", http.MethodPost, "/hollinbeck/HB26/photographs", body.Bytes(), "Content-Type", w.FormDataContentType())
			if got := read[api.SentPhotograph](t, all(t, resp)); resp.StatusCode != http.StatusOK || got.Already != already || got.Number != number {
				t.Errorf("as a form: %d %+v", resp.StatusCode, got)
			}
		}
		for as, want := range map[string]int{"visitor": 1, "member": 1, "steward": 1, "desk": 2} {
			list := see[api.Photographs](t, s, as, "/hollinbeck/HB26/photographs?number="+number)
			if len(list.Photographs) != want {
				t.Fatalf("%s sees %d photographs, want %d", as, len(list.Photographs), want)
			}
			for _, p := range list.Photographs {
				resp := s.call(t, as, http.MethodGet, p.Small[len(api.Prefix):], nil)
				if got := all(t, resp); resp.StatusCode != http.StatusOK || resp.Header.Get("Content-Type") != "image/jpeg" || len(got) < 1000 ||
					(resp.Header.Get("Cache-Control") == "no-store") != p.Private {
					t.Errorf("%s reads a %s: %d, %d bytes, %v", as, p.Kind, resp.StatusCode, len(got), resp.Header)
				}
			}
		}
		hide := s.cmd(t, "photograph.hide.v1", object{"photograph": find.Photograph, "reason": "a face is in it"})
		status(t, s.send(t, "safety_lead", hide)[0], "applied")
		if got, _ := s.get(t, "desk", "/hollinbeck/HB26/photographs/"+find.Photograph.String()+"/full"); got != http.StatusNotFound {
			t.Errorf("hidden, and answered %d", got)
		}
	})
}

func TestAPictureThatIsNoneIsAProblemWithItsWord(t *testing.T) {
	each(t, func(t *testing.T, s *served) {
		_, number := s.logged(t)
		path := "/hollinbeck/HB26/photographs?kind=find&subject=" + number + "&command="
		for name, c := range map[string]struct {
			as, path, media string
			body            []byte
			want            int
		}{
			"a text":                {"desk", path + s.Command(t).ID.String(), "image/png", []byte("GIF"), 422},
			"no command":            {"desk", path, "image/jpeg", halltest.Picture(t, 1), 422},
			"a JSON body":           {"desk", path + s.Command(t).ID.String(), "application/json", []byte("{}"), 415},
			"a form without a file": {"desk", path, "multipart/form-data; boundary=x", []byte("--x--\r\n"), 422},
			"half a form":           {"desk", path, "multipart/form-data; boundary=x", []byte("--x\r\n"), 422},
			"a visitor":             {"visitor", path + s.Command(t).ID.String(), "image/jpeg", halltest.Picture(t, 1), 401},
			"a stranger":            {stranger, path + s.Command(t).ID.String(), "image/jpeg", halltest.Picture(t, 1), 404},
			"a member":              {string(access.Member), path + s.Command(t).ID.String(), "image/jpeg", halltest.Picture(t, 1), 404},
		} {
			resp := s.call(t, c.as, http.MethodPost, c.path, c.body, "Content-Type", c.media)
			if resp.StatusCode != c.want || resp.Header.Get("Content-Type") != "application/problem+json" {
				t.Errorf("%s: %d %s", name, resp.StatusCode, all(t, resp))
			}
		}
	})
}
