#!/usr/bin/env bash
# Publishes the programs twice, from two clean clones at different places, and compares every file by its hash. The last line counts them.
set -euo pipefail
cd "$(dirname "$0")/.."
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

published() { # name of the clone
  git clone -q . "$scratch/$1/source"
  for program in Host Cli; do
    (cd "$scratch/$1/source" && CI=true dotnet publish "src/Pourwright.$program" -c Release -r linux-x64 --self-contained false -v q --nologo -o "$scratch/$1/out/$program" >"$scratch/log") || { cat "$scratch/log"; exit 1; }
  done
  (cd "$scratch/$1/out" && find . -type f -print0 | sort -z | xargs -0 sha256sum) >"$scratch/$1/sums"
}

published one
published another/deeper
if ! diff "$scratch/one/sums" "$scratch/another/deeper/sums"; then echo "FAILED: two releases of the same commit differ"; exit 1; fi
echo "$(wc -l <"$scratch/one/sums") files of two releases of $(git rev-parse --short HEAD) are the same"
