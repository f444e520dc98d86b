#!/usr/bin/env bash
# Mutants of the cure engine, a sample: draws N of those that stryker makes, builds each alone and runs the engine's tests until one fails.
#   tests/mutants.sh [N] [SEED]      300 of seed 1 by default; hours of a machine, so not part of the test command.
# Notes in mutants.SEED.jsonl what became of each, and goes on from there. The last lines are the figures: name, value, bar, ok or short.
set -euo pipefail
cd "$(dirname "$0")/.."
count=${1:-300} seed=${2:-1} notes=$PWD/mutants.${2:-1}.jsonl
export MSBUILDDISABLENODEREUSE=1

scratch=$(mktemp -d)
trap 'git worktree remove --force "$scratch/tree"; rm -rf "$scratch"' EXIT
git worktree add -q --detach "$scratch/tree"
(cd tests/Pourwright.Cure.Tests && dotnet tool restore >/dev/null)
cd "$scratch/tree/tests/Pourwright.Cure.Tests"

# One quick test: what it does not reach is listed and not run.
dotnet stryker -f stryker-config.yaml --test-case-filter FullyQualifiedName~DiBenedetto -O "$scratch/list" >"$scratch/list.log"
dotnet build -c Release -v q --nologo
node "$OLDPWD/tests/node/mutants.js" "$scratch/list/reports/mutation-report.json" "$count" "$seed" "$notes"
