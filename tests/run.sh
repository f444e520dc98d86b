#!/usr/bin/env bash
# Installs what the tests need where it is missing, then runs them all. The last line is `N passed, N failed`.
set -uo pipefail
cd "$(dirname "$0")/.."
passed=0 failed=0 skipped=0 failures=()

need() { # command, Debian package
  command -v "$1" >/dev/null && return
  echo "Installing $2 ..."
  [ -n "${apt_updated:-}" ] || { apt-get update -qq && apt_updated=1; }
  DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "$2" >/dev/null
}
finish() {
  [ "${#failures[@]}" -eq 0 ] || printf 'FAILED: %s\n' "${failures[@]}"
  [ "$skipped" -eq 0 ] && echo "$passed passed, $failed failed" || echo "$passed passed, $failed failed, $skipped skipped"
  [ "$failed" -eq 0 ]
  exit
}
check() { # what it is, command
  local what=$1; shift
  if "$@"; then passed=$((passed + 1)); else failed=$((failed + 1)); failures+=("$what"); fi
}

need curl curl
need node nodejs
need npm npm
need pdftotext poppler-utils
need jq jq
need chromium chromium
need gcc build-essential
ls -d /usr/lib/postgresql/*/bin >/dev/null 2>&1 || need initdb postgresql
# Tests start a broker of their own; run level 1 keeps the package from starting one.
RUNLEVEL=1 need rabbitmq-server rabbitmq-server
(cd tests/node && npm ci --no-audit --no-fund --loglevel=error) || { failed=1; finish; }

dotnet restore && dotnet build --no-restore -c Release -v q --nologo || { failed=1; finish; }
check "protos: format, lint, nothing released is broken" .ci/protos.sh
check "what comes from others: bills as locked, licences permissive, no known faults" .ci/supply.sh

log=$(mktemp)
server=$(mktemp -d)
trap 'tests/postgres.sh stop "$server/pg" 2>/dev/null; rm -rf "$log" "$server"' EXIT
chmod 755 "$server"
POURWRIGHT_TEST_SERVER=$(tests/postgres.sh start "$server/pg") || { failed=1; finish; }
export POURWRIGHT_TEST_SERVER POURWRIGHT_FAULT_FIGURES=$server/figures
run_tests() { # arguments of dotnet test
  local before=$failed f p s
  dotnet test --no-build -c Release --nologo -v q --logger "console;verbosity=minimal" "$@" 2>&1 | tee "$log"
  local tests_ok=${PIPESTATUS[0]}
  # One summary line a test project: `Passed!  - Failed:     0, Passed:    17, Skipped:     0, Total: ...`.
  while read -r f p s; do
    failed=$((failed + f)) passed=$((passed + p)) skipped=$((skipped + s))
  done < <(sed -n 's/.*- Failed: *\([0-9]*\), Passed: *\([0-9]*\), Skipped: *\([0-9]*\),.*/\1 \2 \3/p' "$log")
  mapfile -t -O "${#failures[@]}" failures < <(sed -n 's/^ *Failed \(Pourwright\..*\)/\1/p' "$log")
  # A test project that dies leaves no summary: its exit code still counts.
  [ "$tests_ok" -eq 0 ] || [ "$failed" -gt "$before" ] || { failed=$((failed + 1)); failures+=("dotnet test $*: ended without a summary"); }
}
run_tests
sort "$POURWRIGHT_FAULT_FIGURES"
echo "Once more, with the records on PostgreSQL:"
POURWRIGHT_TEST_STORE=postgres run_tests tests/Pourwright.Studio.Tests
check "plans of invented seasons keep every rule, and small ones are proved" \
  dotnet run --no-build -c Release --project tests/Pourwright.Benchmarks -- planning --short
finish
