#!/usr/bin/env bash
# Starts a PostgreSQL server of Debian's packages on loopback in a scratch folder, or stops it:
#   address=$(tests/postgres.sh start FOLDER [--durable]); tests/postgres.sh stop FOLDER
# The address is a connection string for POURWRIGHT_TEST_SERVER. Without --durable it flushes nothing: good for tests, not for figures.
set -euo pipefail
what=$1 folder=$2 durable=${3:-}
bin=$(ls -d /usr/lib/postgresql/*/bin | sort -V | tail -n 1)
# The server refuses to run as root.
as_user() { if [ "$(id -u)" -eq 0 ]; then runuser -u postgres -- "$@"; else "$@"; fi; }

case $what in
start)
  mkdir -p "$folder"
  if [ "$(id -u)" -eq 0 ]; then chown postgres "$folder" && chmod 700 "$folder"; fi
  as_user "$bin/initdb" -D "$folder/data" -U pourwright -A trust -E UTF8 --locale=C >"$folder.initdb" 2>&1 || { cat "$folder.initdb" >&2; exit 1; }
  port=$(node -e 'const s = require("net").createServer().listen(0, "127.0.0.1", () => { console.log(s.address().port); s.close(); })')
  options="-c listen_addresses=127.0.0.1 -c port=$port -c unix_socket_directories='' -c max_connections=200"
  [ "$durable" = --durable ] || options+=" -c fsync=off -c full_page_writes=off"
  as_user "$bin/pg_ctl" -D "$folder/data" -l "$folder/log" -o "$options" -w start >&2
  echo "Host=127.0.0.1;Port=$port;Username=pourwright;Database=postgres"
  ;;
stop)
  as_user "$bin/pg_ctl" -D "$folder/data" -m immediate -w stop >&2
  ;;
esac
