#!/usr/bin/env bash
# Point-in-time recovery as deploy/runbook.md tells it, tried with the server of Debian's packages on loopback in a scratch folder:
#   address=$(tests/point-in-time.sh start FOLDER)             a server that archives its log into FOLDER/archive
#   tests/point-in-time.sh base FOLDER                         a base backup into FOLDER/base while it runs
#   address=$(tests/point-in-time.sh recover FOLDER TIME)      the first server is lost; another becomes what it was at TIME
#   tests/point-in-time.sh stop FOLDER
set -euo pipefail
what=$1 folder=$2
bin=$(ls -d /usr/lib/postgresql/*/bin | sort -V | tail -n 1)
as_user() { if [ "$(id -u)" -eq 0 ]; then runuser -u postgres -- "$@"; else "$@"; fi; }
free_port() { node -e 'const s = require("net").createServer().listen(0, "127.0.0.1", () => { console.log(s.address().port); s.close(); })'; }
start() { # data folder, more options
  local port
  port=$(free_port)
  echo "$port" >"$folder/port"
  as_user "$bin/pg_ctl" -D "$1" -l "$folder/log" -w start \
    -o "-c listen_addresses=127.0.0.1 -c port=$port -c unix_socket_directories='' ${2:-}" >&2
  echo "Host=127.0.0.1;Port=$port;Username=pourwright;Database=pourwright"
}

case $what in
start)
  mkdir -p "$folder/archive"
  if [ "$(id -u)" -eq 0 ]; then chown -R postgres "$folder" && chmod 700 "$folder"; fi
  as_user "$bin/initdb" -D "$folder/data" -U pourwright -A trust -E UTF8 --locale=C >"$folder/initdb.log" 2>&1
  as_user tee -a "$folder/data/postgresql.conf" >/dev/null <<CONF
archive_mode = on
archive_command = 'test ! -f "$folder/archive/%f" && cp "%p" "$folder/archive/%f"'
CONF
  address=$(start "$folder/data")
  as_user "$bin/createdb" -h 127.0.0.1 -p "$(cat "$folder/port")" -U pourwright -T template0 -E UTF8 --locale=C pourwright
  echo "$address"
  ;;
base)
  as_user "$bin/pg_basebackup" -h 127.0.0.1 -p "$(cat "$folder/port")" -U pourwright -D "$folder/base" -X none --checkpoint=fast
  ;;
recover)
  # What was committed last lies in the log's present file: a switch hands it to the archive. Then the server is lost.
  as_user "$bin/psql" -q -h 127.0.0.1 -p "$(cat "$folder/port")" -U pourwright -d pourwright -c 'SELECT pg_switch_wal()' >&2
  as_user "$bin/pg_ctl" -D "$folder/data" -m fast -w stop >&2
  as_user tee -a "$folder/base/postgresql.conf" >/dev/null <<CONF
archive_mode = off
restore_command = 'cp "$folder/archive/%f" "%p"'
recovery_target_time = '$3'
recovery_target_action = promote
CONF
  as_user touch "$folder/base/recovery.signal"
  address=$(start "$folder/base")
  until [ "$(as_user "$bin/psql" -At -h 127.0.0.1 -p "$(cat "$folder/port")" -U pourwright -d pourwright -c 'SELECT pg_is_in_recovery()')" = f ]; do sleep 0.2; done
  echo "$address"
  ;;
stop)
  for data in data base; do
    [ ! -f "$folder/$data/postmaster.pid" ] || as_user "$bin/pg_ctl" -D "$folder/$data" -m immediate -w stop >&2
  done
  ;;
esac
