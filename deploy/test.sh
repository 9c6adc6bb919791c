#!/usr/bin/env bash
# Installs what the tests need on a Debian machine with Go, then runs all of them: generated files and lint, rules on
# both databases, the race detector, crash drills, real browsers, and every benchmark once. Ends with what was not run
# and a line "NNN passed, N failed"; its status is 0 only when nothing failed.
#
#   deploy/test.sh [PART ...]     parts: static tests race drills browser benchmarks; all of them without
#
# From the environment:
#   FORAYHALL_REFERENCE   folder of reference data; without it the checks against it are told as not run
#   FORAYHALL_SHOTS       folder for pictures of the pages; a folder in the cache without it
set -euo pipefail
exec </dev/null # a closed standard input would give its number to the next file that is opened

cd "$(dirname "${BASH_SOURCE[0]}")/.."
HOME="${HOME:-$(getent passwd "$(id -u)" | cut -d: -f6)}"
export HOME
cache="${XDG_CACHE_HOME:-$HOME/.cache}/forayhall"
work="$(mktemp -d "${TMPDIR:-/tmp}/forayhall-run-XXXXXXXX")"
postgres_pid=""
memory="" # a folder in memory
# The tests' own limit is only there to end what hangs.
limit=120m
axe_version=4.14.1
typescript_version="$(sed -n 's/.*"typescript": "\(.*\)".*/\1/p' web/package.json)"

say() { printf '\n== %s\n' "$*"; }
have() { command -v "$1" >/dev/null 2>&1; }
die() { printf 'deploy/test.sh: %s\n' "$*" >&2; exit 1; }

clean_up() {
	if [[ -n $postgres_pid ]]; then
		kill -INT "$postgres_pid" 2>/dev/null || true
		wait "$postgres_pid" 2>/dev/null || true
	fi
	rm -rf -- "$work" ${memory:+"$memory"}
}
trap clean_up EXIT
trap 'exit 130' INT
trap 'exit 143' TERM

# ---- what the tests need ----

as_root() {
	if [[ $(id -u) == 0 ]]; then "$@"; else sudo "$@"; fi
}

postgres_bin() {
	local bin
	for bin in $(printf '%s\n' /usr/lib/postgresql/*/bin | sort -rV); do
		if [[ -x $bin/initdb && -x $bin/postgres ]]; then printf '%s\n' "$bin"; return; fi
	done
	return 1
}

used() { grep -rqs --include='*_test.go' -e "\"$1\"" cmd internal web; }

missing_packages() {
	postgres_bin >/dev/null || echo postgresql
	have shellcheck || echo shellcheck
	have pdftotext || echo poppler-utils
	have gcc || echo gcc libc6-dev # for the race detector
	have setpriv || echo util-linux
	if used zbarimg && ! have zbarimg; then echo zbar-tools; fi
	if used xmllint && ! have xmllint; then echo libxml2-utils; fi
	if used soffice && ! have soffice; then echo libreoffice-calc-nogui; fi
	# What the accumulation of species is timed beside.
	if used Rscript && ! Rscript -e 'library(vegan)' >/dev/null 2>&1; then echo r-base-core r-cran-vegan; fi
	# What public pages are timed beside, and what asks for them.
	if used nginx && ! have nginx; then echo nginx-light; fi
	if used wrk && ! have wrk; then echo wrk; fi
	have node || echo nodejs
	if [[ ! -f $axe || ! -x $tsc ]] && ! have npm; then echo npm; fi
}

from_debian() {
	say "installing from Debian: $*"
	as_root env DEBIAN_FRONTEND=noninteractive apt-get update -q
	as_root env DEBIAN_FRONTEND=noninteractive apt-get install -qy --no-install-recommends "$@"
}

# The browser that has no window takes half the time of the other, which does where it cannot be had.
install_browser() {
	have chromium-headless-shell || from_debian chromium-headless-shell || have chromium || from_debian chromium
}

install_what_is_missing() {
	axe="$cache/axe-core-$axe_version/node_modules/axe-core/axe.min.js"
	tsc="$cache/typescript-$typescript_version/node_modules/.bin/tsc"
	local packages
	mapfile -t packages < <(missing_packages | tr ' ' '\n')
	if ((${#packages[@]})); then
		from_debian "${packages[@]}"
	fi
	install_browser
	if [[ ! -f $axe ]]; then
		say "installing from npm into $cache: axe-core $axe_version"
		npm install --prefix "$cache/axe-core-$axe_version" --no-save --ignore-scripts --no-audit --no-fund \
			"axe-core@$axe_version"
	fi
	[[ -f $axe ]] || die "axe-core did not arrive in $axe"
	if [[ ! -x $tsc ]]; then
		say "installing from npm into $cache: typescript $typescript_version"
		npm install --prefix "$cache/typescript-$typescript_version" --no-save --ignore-scripts --no-audit --no-fund \
			"typescript@$typescript_version"
	fi
	[[ -x $tsc ]] || die "typescript did not arrive in $tsc"
}

# ---- one Postgres for all parts, on a socket only ----
#
# It waits for no disk: what must be kept when a machine dies is tested with servers of the drills' own, which do. For the
# same reason files of tests lie in memory where there is room, but for those of drills and benchmarks.

roomy=4000000 # KiB
in_memory() {
	local free
	free="$(df --output=avail /dev/shm 2>/dev/null | tail -n 1)" || return 1
	[[ -w /dev/shm && ${free:-0} -ge $roomy ]]
}

# In one process with setpriv, so that its number is the server's; and the server goes when this script is killed.
run_as_server() {
	if [[ $(id -u) == 0 ]]; then
		exec setpriv --reuid postgres --regid postgres --init-groups --pdeathsig QUIT "$@"
	fi
	exec setpriv --pdeathsig QUIT "$@"
}

start_postgres() {
	local bin home="$work/postgres" tries
	bin="$(postgres_bin)"
	mkdir "$home"
	chmod 711 "$work" # the server's user passes through it
	if in_memory; then
		memory="$(mktemp -d /dev/shm/forayhall-run-XXXXXXXX)"
		mkdir "$memory/postgres" "$memory/files"
		chmod 711 "$memory"
		rmdir "$home"
		ln -s "$memory/postgres" "$home"
	fi
	if [[ $(id -u) == 0 ]]; then chown postgres "$home/"; fi
	chmod 700 "$home/"
	# The collation and the zone are those of internal/store/pgtest, for its reason.
	(cd "$home" && run_as_server "$bin/initdb" --pgdata "$home/data" --username postgres --auth trust --encoding UTF8 \
		--locale C.UTF-8 --locale-provider icu --icu-locale en --no-instructions) >"$work/initdb.log" 2>&1 ||
		{ cat "$work/initdb.log"; die "initdb failed"; }
	(cd "$home" && run_as_server "$bin/postgres" -D "$home/data" -c listen_addresses= -c unix_socket_directories="$home" \
		-c fsync=off -c synchronous_commit=off -c full_page_writes=off -c max_connections=200 -c timezone=Pacific/Auckland) >"$work/postgres.log" 2>&1 &
	postgres_pid=$!
	for ((tries = 0; tries < 600; tries++)); do
		if "$bin/pg_isready" -q -h "$home" -U postgres; then
			export FORAYHALL_TEST_POSTGRES="postgres://postgres@/postgres?host=$home&sslmode=disable"
			return
		fi
		kill -0 "$postgres_pid" 2>/dev/null || break
		sleep 0.1
	done
	cat "$work/postgres.log"
	die "Postgres did not start"
}

# ---- the parts ----

# count PART PASSED FAILED
count() { printf '%s %d %d\n' "$@" >>"$work/counts"; }

# check NAME COMMAND...: one check of the part "static".
check() {
	local name=$1
	shift
	if "$@" >"$work/check.log" 2>&1; then
		printf 'pass  %s\n' "$name"
		count static 1 0
	else
		printf 'FAIL  %s\n' "$name"
		cat "$work/check.log"
		count static 0 1
	fi
}

# generated_files are what generators write and the repository holds.
generated_files() {
	find cmd internal web \( -name node_modules -prune \) -o \
		\( -name '*_templ.go' -o -path 'web/static/*' \) -type f -exec sha256sum {} + | sort -k 2
}

# On fresh files this changes nothing; stale ones are left as they should be, to be looked at and committed.
generated_is_fresh() {
	generated_files >"$work/generated.before"
	go tool templ generate || return 1
	go generate ./... || return 1
	generated_files >"$work/generated.after"
	diff "$work/generated.before" "$work/generated.after"
}

gofmt_agrees() {
	local files
	files="$(gofmt -l cmd internal web migrations seed deploy)" || return 1
	[[ -z $files ]] || { printf '%s\n' "$files"; return 1; }
}

compose_is_understood() {
	POSTGRES_PASSWORD=x FORAYHALL_KEY=x docker compose -f docker-compose.yml config --quiet || return 1
	# Without its secrets it must not start.
	! env -u POSTGRES_PASSWORD -u FORAYHALL_KEY docker compose --env-file /dev/null -f docker-compose.yml config --quiet
}

part_static() {
	check "generated files are fresh" generated_is_fresh
	check "gofmt" gofmt_agrees
	check "go vet" go vet ./...
	check "staticcheck" go tool staticcheck ./...
	check "tsc" "$tsc" --project web/tsconfig.json
	local scripts
	mapfile -t scripts < <(find .ci deploy -name '*.sh' -o -path .ci/run)
	check "shellcheck" shellcheck "${scripts[@]}"
	# The structure of docker-compose.yml and the Dockerfile is tested in internal/house, with or without Docker.
	if have docker && docker compose version >/dev/null 2>&1; then
		check "docker compose config" compose_is_understood
	fi
}

# go_test PART ARGUMENT...: runs go test and reports; a failure that no test explains is counted too.
go_test() {
	local part=$1 status=0 files="${TMPDIR:-/tmp}"
	shift
	if [[ -n $memory && $part != drills && $part != benchmarks ]]; then files="$memory/files"; fi
	# The static part has vetted everything.
	GOTMPDIR="$work" TMPDIR="$files" go test -json -count=1 -vet=off -timeout "$limit" "$@" 2>"$work/stderr" |
		"$work/testreport" -out "$work" -part "$part" "${agreed[@]}" || status=$?
	if ((status)) && ! awk -v part="$part" '$1 == part && $3 > 0 {found = 1} END {exit !found}' "$work/counts"; then
		count "$part" 0 1
	fi
	cat "$work/stderr"
}

# Agreed reasons to skip. Those that belong to a part are made good by another, which the end checks.
agree() {
	agreed=(-skip "FORAYHALL_REFERENCE is not set")
	local reason
	for reason in "$@"; do agreed+=(-skip "$reason"); done
}

imports_of_tests() {
	go list -f '{{.ImportPath}} {{join .TestImports " "}} {{join .XTestImports " "}}' ./...
}

# browser_packages drive a browser: they import browsertest in their tests, or are it.
browser_packages() {
	imports_of_tests | awk '/ forayhall\/internal\/browsertest( |$)/ || $1 == "forayhall/internal/browsertest" {print $1}'
}

other_packages() { comm -23 <(go list ./... | sort) <(browser_packages | sort); }

part_tests() {
	local packages
	mapfile -t packages < <(other_packages)
	agree "FORAYHALL_DRILLS is not set"
	go_test tests "${packages[@]}"
}

# The rooms in which goroutines meet, and the pure ones, which must be usable from any goroutine. Of the use cases in rooms
# of their own those tests are raced that do things at once: elsewhere the detector would watch the database for minutes.
raced='^forayhall/internal/(taxon|hazard|foray|access|tally|message|fault|character|display|muster|live|store|hall|hall/checklist)$'

# functions_with PATTERN: the functions of the use cases' tests in which it is met, after the folder each stands in.
functions_with() {
	find internal/hall -mindepth 2 -name '*_test.go' -exec awk -v pattern="$1" '
		/^func / {name = $2; sub(/\(.*/, "", name); next}
		$0 ~ pattern {folder = FILENAME; sub(/\/[^\/]*$/, "", folder); print "./" folder, name}' {} + | sort -u
}

# tests_at_once names the tests in which something runs at once, there or in what they call.
tests_at_once() {
	local at_once='go func|sync[.]WaitGroup' helpers
	helpers="$(functions_with "$at_once" | awk '$2 !~ /^Test/ {printf "|%s[(]", $2}')"
	functions_with "$at_once$helpers" | awk '$2 ~ /^Test/'
}

part_race() {
	local packages rooms tests
	mapfile -t packages < <(go list ./... | grep -E "$raced")
	mapfile -t rooms < <(tests_at_once | cut -d ' ' -f 1 | sort -u)
	tests="$(tests_at_once | cut -d ' ' -f 2 | sort -u | paste -s -d '|')"
	agree "FORAYHALL_DRILLS is not set" "FORAYHALL_TEST_DIALECT is sqlite" "takes a while"
	FORAYHALL_TEST_DIALECT=sqlite go_test race -race -short "${packages[@]}"
	FORAYHALL_TEST_DIALECT=sqlite go_test race -race -short -run "^($tests)\$" "${rooms[@]}"
}

part_drills() {
	local packages
	mapfile -t packages < <(grep -rl --include='*_test.go' FORAYHALL_DRILLS cmd internal | xargs -r -n 1 dirname | sort -u | sed 's|^|./|')
	if ((${#packages[@]} == 0)); then
		echo "there are no drills: no test reads FORAYHALL_DRILLS"
		count drills 0 1
		return
	fi
	agree
	FORAYHALL_DRILLS=1 go_test drills -run 'Kill|Drill|Crash' "${packages[@]}"
}

part_browser() {
	local packages
	mapfile -t packages < <(browser_packages)
	agree "FORAYHALL_DRILLS is not set"
	# One package at a time: each has browsers of its own.
	FORAYHALL_SHOTS="${FORAYHALL_SHOTS:-$cache/shots}" FORAYHALL_AXE="$axe" go_test browser -p 1 "${packages[@]}"
	echo "pictures of the pages are in ${FORAYHALL_SHOTS:-$cache/shots}"
}

part_benchmarks() {
	local packages
	mapfile -t packages < <(grep -rl --include='*_test.go' '^func Benchmark' . | xargs -n 1 dirname | sort -u)
	agree
	go_test benchmarks -p 1 -run '^$' -bench . -benchtime 1x -short "${packages[@]}"
}

# ---- the end ----

# A test that one part skipped must have run in another.
nobody_made_it_good() {
	touch "$work/skipped" "$work/passed"
	comm -23 \
		<(grep -v "	FORAYHALL_REFERENCE is not set$" "$work/skipped" | cut -f 1 | sort -u) \
		<(sort -u "$work/passed")
}

summary() {
	local lost
	lost="$(nobody_made_it_good)"
	if [[ -n $lost && $everything == yes ]]; then
		say "skipped in one part and run in no other"
		printf '%s\n' "$lost"
		count skipped 0 "$(wc -l <<<"$lost")"
	fi
	say "not run"
	if grep -q "	FORAYHALL_REFERENCE is not set$" "$work/skipped"; then
		echo "FORAYHALL_REFERENCE is not set, so these were not checked against reference data:"
		grep "	FORAYHALL_REFERENCE is not set$" "$work/skipped" | cut -f 1 | sort -u | sed 's/^/  /'
	elif [[ $everything == yes ]]; then
		echo "nothing: every test ran"
	else
		echo "the parts that were not asked for"
	fi
	say "summary"
	awk '
		FNR == NR {seconds[$1] = $2; next}
		!($1 in passed) {order[++n] = $1}
		{passed[$1] += $2; failed[$1] += $3; p += $2; f += $3}
		END {
			printf "%-12s %8s %8s %9s\n", "part", "passed", "failed", "seconds"
			for (i = 1; i <= n; i++) printf "%-12s %8d %8d %9s\n", order[i], passed[order[i]], failed[order[i]], seconds[order[i]]
			printf "\n%d passed, %d failed\n", p, f
			exit f > 0
		}' "$work/seconds" "$work/counts"
}

all=(static tests race drills browser benchmarks)
everything=no
if (($# == 0)); then
	set -- "${all[@]}"
	everything=yes
fi
for part in "$@"; do
	[[ " ${all[*]} " == *" $part "* ]] || die "no part is called $part; there are ${all[*]}"
done

if ! have go && [[ -x /usr/local/go/bin/go ]]; then PATH="$PATH:/usr/local/go/bin"; fi
have go || die "Go is not here: install the version that go.mod names"
say "$(go version), $(uname -sr), $(nproc) processors"

if [[ -n ${FORAYHALL_REFERENCE:-} ]]; then
	FORAYHALL_REFERENCE="$(realpath -e "$FORAYHALL_REFERENCE")" # tests run in the folders of their packages
fi
install_what_is_missing
go build -o "$work/testreport" ./deploy/testreport
if [[ $* != static ]]; then start_postgres; fi
export FORAYHALL_TEST_ALL=1
: >"$work/counts"
: >"$work/seconds"
for part in "$@"; do
	say "$part"
	begun=$SECONDS
	"part_$part"
	printf '%s %d\n' "$part" $((SECONDS - begun)) >>"$work/seconds"
done
summary
