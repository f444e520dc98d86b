#!/usr/bin/env bash
# Publishes the programs twice, each time from a clean clone, and compares every file by its hash. The last line counts them. Both clones
# stand at the same place, as in a container: what is generated of a page names the folder it was generated in, and nothing else does.
set -euo pipefail
cd "$(dirname "$0")/.."
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

published() { # file for the hashes
  git clone -q . "$scratch/source"
  for program in Host Cli; do
    (cd "$scratch/source" && CI=true dotnet publish "src/Pourwright.$program" -c Release -r linux-x64 --self-contained false -v q --nologo -o "$scratch/out/$program" >"$scratch/log") || { cat "$scratch/log"; exit 1; }
  done
  (cd "$scratch/out" && find . -type f -print0 | sort -z | xargs -0 sha256sum) >"$1"
  rm -rf "$scratch/source" "$scratch/out"
}

published "$scratch/first"
published "$scratch/second"
if ! diff "$scratch/first" "$scratch/second"; then echo "FAILED: two releases of the same commit differ"; exit 1; fi
echo "$(wc -l <"$scratch/first") files of two releases of $(git rev-parse --short HEAD) are the same"
