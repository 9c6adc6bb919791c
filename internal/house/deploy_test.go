package house

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"
)

type composition struct {
	Services map[string]service `yaml:"services"`
	Volumes  map[string]any     `yaml:"volumes"`
}

type service struct {
	Image       string                                `yaml:"image"`
	Build       *struct{ Dockerfile string }          `yaml:"build"`
	Command     []string                              `yaml:"command"`
	Environment map[string]string                     `yaml:"environment"`
	Ports       []string                              `yaml:"ports"`
	Volumes     []string                              `yaml:"volumes"`
	Restart     string                                `yaml:"restart"`
	Healthcheck *struct{ Test []string }              `yaml:"healthcheck"`
	DependsOn   map[string]struct{ Condition string } `yaml:"depends_on"`
}

func readComposition(t *testing.T) composition {
	t.Helper()
	file, err := os.Open(filepath.Join(root, "docker-compose.yml"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var c composition
	if err := yaml.NewDecoder(file).Decode(&c); err != nil {
		t.Fatal(err)
	}
	if len(c.Services) == 0 {
		t.Fatal("no services")
	}
	return c
}

var (
	secret   = regexp.MustCompile(`PASSWORD|KEY|SECRET|TOKEN`)
	demanded = regexp.MustCompile(`^\$\{[A-Z_]+:\?.+\}$`)
)

func TestCompose_takes_every_secret_from_the_environment_and_has_no_default(t *testing.T) {
	secrets := 0
	for name, s := range readComposition(t).Services {
		for variable, value := range s.Environment {
			if !secret.MatchString(variable) {
				continue
			}
			secrets++
			if !demanded.MatchString(value) {
				t.Errorf("%s: %s is %q; want ${NAME:?why}", name, variable, value)
			}
		}
		for _, word := range s.Command {
			if strings.Contains(word, "PASSWORD") {
				t.Errorf("%s: a password in the command line can be read by every process: %s", name, word)
			}
		}
	}
	if secrets == 0 {
		t.Error("no secrets at all: the test looks for the wrong names")
	}
}

func TestCompose_watches_every_service_that_stays_up(t *testing.T) {
	for name, s := range readComposition(t).Services {
		// The image of our own build brings its check along.
		if s.Restart != "no" && s.Healthcheck == nil && s.Build == nil {
			t.Errorf("%s has no health check", name)
		}
	}
}

func TestCompose_migrates_before_it_serves(t *testing.T) {
	services := readComposition(t).Services
	if c := services["app"].DependsOn["migrate"].Condition; c != "service_completed_successfully" {
		t.Errorf("app waits for migrate by %q", c)
	}
	for _, name := range []string{"app", "migrate"} {
		if c := services[name].DependsOn["postgres"].Condition; c != "service_healthy" {
			t.Errorf("%s waits for postgres by %q", name, c)
		}
	}
	if len(services["migrate"].Command) == 0 || services["migrate"].Command[0] != "migrate" {
		t.Errorf("migrate runs %v", services["migrate"].Command)
	}
}

func TestCompose_opens_no_port_beyond_this_computer_unless_asked(t *testing.T) {
	for name, s := range readComposition(t).Services {
		for _, port := range s.Ports {
			if !strings.HasPrefix(port, "127.0.0.1:") && !strings.HasPrefix(port, "${FORAYHALL_BIND:-127.0.0.1}:") {
				t.Errorf("%s opens %s", name, port)
			}
		}
	}
}

func TestCompose_keeps_data_in_named_volumes(t *testing.T) {
	c := readComposition(t)
	for name, target := range map[string]string{"app": "/data", "postgres": "/var/lib/postgresql/data"} {
		kept := false
		for _, v := range c.Services[name].Volumes {
			volume, at, _ := strings.Cut(v, ":")
			_, named := c.Volumes[volume]
			kept = kept || named && at == target
		}
		if !kept {
			t.Errorf("%s does not keep %s in a named volume", name, target)
		}
	}
}

func TestCompose_pins_its_images(t *testing.T) {
	for name, s := range readComposition(t).Services {
		_, tag, _ := strings.Cut(s.Image, ":")
		if s.Build == nil && (tag == "" || tag == "latest") {
			t.Errorf("%s runs %q", name, s.Image)
		}
	}
}

// instructions are the Dockerfile's, joined over continued lines.
func instructions(t *testing.T) (list []string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(root, "deploy/Dockerfile"))
	if err != nil {
		t.Fatal(err)
	}
	joined := strings.ReplaceAll(string(text), "\\\n", " ")
	for line := range strings.Lines(joined) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			list = append(list, line)
		}
	}
	return list
}

// lastStage are the instructions of the image that is shipped.
func lastStage(list []string) []string {
	for i := len(list) - 1; i >= 0; i-- {
		if strings.HasPrefix(list[i], "FROM ") {
			return list[i:]
		}
	}
	return nil
}

func TestDockerfile_ships_a_static_binary_that_is_not_root_and_says_how_it_is(t *testing.T) {
	stage := strings.Join(lastStage(instructions(t)), "\n")
	for _, want := range []string{`USER 65532:65532`, `VOLUME ["/data"]`, `EXPOSE 8080`, `HEALTHCHECK `,
		`"health"]`, `ENTRYPOINT ["/usr/local/bin/forayhall"]`, `CMD ["serve", "--data", "/data", "--listen", ":8080"]`} {
		if !strings.Contains(stage, want) {
			t.Errorf("the last stage has no %s", want)
		}
	}
	if build := strings.Join(instructions(t), "\n"); !strings.Contains(build, "CGO_ENABLED=0") ||
		!strings.Contains(build, "-trimpath") {
		t.Error("the build is not static, or tells the builder's paths")
	}
}

var goLine = regexp.MustCompile(`(?m)^go (\d+\.\d+)`)

func TestDockerfile_pins_its_images_and_builds_with_the_modules_Go(t *testing.T) {
	mod, err := os.ReadFile(filepath.Join(root, "go.mod"))
	if err != nil {
		t.Fatal(err)
	}
	version := goLine.FindSubmatch(mod)[1]
	builder := false
	for _, line := range instructions(t) {
		image, ok := strings.CutPrefix(line, "FROM ")
		if !ok {
			continue
		}
		image = strings.Fields(image)[0]
		if !strings.Contains(image, ":") || strings.HasSuffix(image, ":latest") {
			t.Errorf("%s is not pinned", image)
		}
		builder = builder || strings.HasPrefix(image, "golang:"+string(version))
	}
	if !builder {
		t.Errorf("no stage builds with golang:%s", version)
	}
}

func TestService_unit_runs_with_few_rights(t *testing.T) {
	unit, err := os.ReadFile(filepath.Join(root, "deploy/forayhall.service"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"forayhall serve --data /var/lib/forayhall", "User=forayhall", "NoNewPrivileges=yes",
		"ProtectSystem=strict", "StateDirectory=forayhall"} {
		if !strings.Contains(string(unit), want) {
			t.Errorf("the unit does not say %s", want)
		}
	}
}

// Events are pushed for as long as a page is open: a proxy that collects or cuts them leaves the hall in the dark.
func TestReverse_proxy_lets_events_through_and_overwrites_forged_addresses(t *testing.T) {
	conf, err := os.ReadFile(filepath.Join(root, "deploy/reverse-proxy.conf"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"proxy_buffering off;", "proxy_read_timeout 1h;", "proxy_http_version 1.1;",
		"proxy_set_header X-Forwarded-For $remote_addr;", "ssl_protocols TLSv1.2 TLSv1.3;"} {
		if !strings.Contains(string(conf), want) {
			t.Errorf("the proxy does not say %s", want)
		}
	}
}
