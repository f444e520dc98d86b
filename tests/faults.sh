#!/usr/bin/env bash
# Strikes the studio: kill -9, power cuts, disks that fail, fill up or decay, request storms, garbage, backups under load, clock changes,
# and simulated days. Installs what it needs where it is missing. Short by default; --long takes the figures of the bars, over hours.
#   tests/faults.sh [--long] [--cycles N] [dotnet test arguments, such as --filter FullyQualifiedName~PowerLoss]
# The last lines are the figures: name, value, bar, ok or short.
set -uo pipefail
cd "$(dirname "$0")/.."

need() { # command, Debian package
  command -v "$1" >/dev/null && return
  echo "Installing $2 ..."
  [ -n "${apt_updated:-}" ] || { apt-get update -qq && apt_updated=1; }
  DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "$2" >/dev/null
}

while [ $# -gt 0 ]; do
  case $1 in
  --long) export POURWRIGHT_FAULT_CYCLES=long POURWRIGHT_FAULT_DAYS=30 POURWRIGHT_GARBAGE_MESSAGES=${POURWRIGHT_GARBAGE_MESSAGES:-1000000} POURWRIGHT_GARBAGE_AT_ONCE=${POURWRIGHT_GARBAGE_AT_ONCE:-8} ;;
  --cycles) export POURWRIGHT_FAULT_CYCLES=$2 && shift ;;
  *) break ;;
  esac
  shift
done

need gcc build-essential
need node nodejs
ls -d /usr/lib/postgresql/*/bin >/dev/null 2>&1 || need initdb postgresql

scratch=$(mktemp -d)
chmod 755 "$scratch"
trap '[ -z "${own_server:-}" ] || tests/postgres.sh stop "$scratch/pg" 2>/dev/null; rm -rf "$scratch"' EXIT
if [ -z "${POURWRIGHT_TEST_SERVER:-}" ]; then
  POURWRIGHT_TEST_SERVER=$(tests/postgres.sh start "$scratch/pg") || exit 1
  export POURWRIGHT_TEST_SERVER
  own_server=1
fi
export POURWRIGHT_FAULT_FIGURES=$scratch/figures
touch "$POURWRIGHT_FAULT_FIGURES"
dotnet test tests/Faults -c Release --nologo "$@"
result=$?
sort "$POURWRIGHT_FAULT_FIGURES"
exit $result
