#!/usr/bin/env bash
# What comes from others. Writes a bill of materials (CycloneDX JSON) of each program that is shipped and compares it with the lock
# files, asks every locked package for its licence, and looks for versions with known faults. Run after `dotnet restore`.
#   .ci/supply.sh [--to FOLDER]      keeps the bills there
set -euo pipefail
cd "$(dirname "$0")/.."
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
bills=$scratch
[ "${1:-}" = --to ] && mkdir -p "$2" && bills=$(realpath "$2")
packages=$(dotnet nuget locals global-packages --list | sed 's/^[^/]*//')
permissive='MIT|Apache-2.0|BSD-2-Clause|BSD-3-Clause|ISC|0BSD|Zlib|PostgreSQL|Unlicense|Apache-2.0 OR MPL-2.0'
bad=0

fail() { echo "FAILED: $*"; bad=1; }
locked() { jq -r '.dependencies[] | to_entries[] | select(.value.type != "Project") | "\(.key) \(.value.resolved)"' "$@" | sort -u; }
closure() { # a project and all that it refers to
  local reference
  echo "$1"
  sed -n 's/.*ProjectReference Include="\([^"]*\)".*/\1/p' "$1" | while read -r reference; do closure "$(dirname "$1")/$reference"; done
}

bill() { # name of a program
  local project=src/Pourwright.$1/Pourwright.$1.csproj
  dotnet dotnet-CycloneDX "$project" -rs -dpr -F Json -ns -o "$bills" -fn "$1.cdx.json" >"$scratch/log" || { cat "$scratch/log"; fail "no bill of $1"; return; }
  jq -r '.components[] | "\(.name) \(.version)"' "$bills/$1.cdx.json" | sort -u >"$scratch/billed"
  locked $(closure "$project" | xargs -n 1 dirname | sort -u | sed 's|$|/packages.lock.json|') >"$scratch/locked"
  diff "$scratch/locked" "$scratch/billed" >"$scratch/diff" || { cat "$scratch/diff"; fail "the bill of $1 is not what its lock files say"; return; }
  jq -e '[.components[] | select((.hashes | length) == 0)] | length == 0' "$bills/$1.cdx.json" >/dev/null || fail "the bill of $1 has a package without a hash"
  echo "bill of $1: $(wc -l <"$scratch/billed") packages, as locked"
}

licence() { # package, version
  local lower=${1,,} by_hand
  by_hand=$(awk -F '\t' -v p="$1" -v v="$2" '$1 == p && $2 == v { print $3 }' .ci/licences.tsv)
  [ -n "$by_hand" ] && echo "$by_hand" && return
  tr -d '\r\n' <"$packages/$lower/${2,,}/$lower.nuspec" | sed -n 's/.*<license type="expression">\([^<]*\)<.*/\1/p'
}

# Lines `package version` come in, those with a known fault go out.
known_faults() {
  local package version name first good id
  while read -r package version; do
    while IFS=$'\t' read -r name first good id; do
      [ "${name,,}" = "${package,,}" ] || continue
      [ "$first" = - ] || before "$first" "$version" || [ "$first" = "$version" ] || continue
      if before "$version" "$good"; then echo "$package $version: https://github.com/advisories/$id, good from $good"; fi
    done < <(grep -v '^#' .ci/advisories.tsv)
  done
}
before() { [ "$1" != "$2" ] && [ "$(printf '%s\n%s\n' "$1" "$2" | sort -V | head -n 1)" = "$1" ]; }

dotnet tool restore >/dev/null
bill Host
bill Cli

locked src/*/packages.lock.json tests/*/packages.lock.json >"$scratch/all"
while read -r package version; do printf '%s\t%s %s\n' "$(licence "$package" "$version")" "$package" "$version"; done <"$scratch/all" >"$scratch/licences"
cut -f 1 "$scratch/licences" | sort | uniq -c | sort -rn | sed 's/^/licence /'
grep -vE "^($permissive)"$'\t' "$scratch/licences" >"$scratch/other" && { cat "$scratch/other"; fail "a licence that is not on the list of permissive ones"; }

# First the other half: what is known to be bad is found, and a version before or after it is not.
[ "$(printf 'Newtonsoft.Json 12.0.3\nOpenTelemetry.Api 1.11.1\nOpenTelemetry.Api 1.9.0\nNewtonsoft.Json 13.0.1\n' | known_faults | wc -l)" = 2 ] || fail "the check for known faults finds what it should not, or not what it should"
known_faults <"$scratch/all" >"$scratch/faults"
[ ! -s "$scratch/faults" ] || { cat "$scratch/faults"; fail "a package has a known fault"; }
echo "known faults: $(wc -l <"$scratch/faults") of $(wc -l <"$scratch/all") packages, by $(grep -vc '^#' .ci/advisories.tsv) advisories of $(sed -n 's/.*Put together on \([0-9-]*\).*/\1/p' .ci/advisories.tsv)"

# Whether the package source carries advisories is asked with a version that has one: silence of a source that knows nothing is no proof.
mkdir "$scratch/bad"
cat >"$scratch/bad/bad.csproj" <<'XML'
<Project Sdk="Microsoft.NET.Sdk">
  <PropertyGroup><TargetFramework>net10.0</TargetFramework></PropertyGroup>
  <ItemGroup><PackageReference Include="Newtonsoft.Json" Version="12.0.3" /></ItemGroup>
</Project>
XML
if (cd "$scratch/bad" && dotnet restore -v q >/dev/null && dotnet list package --vulnerable --no-restore) 2>&1 | grep -q GHSA-; then
  dotnet list package --vulnerable --include-transitive --no-restore >"$scratch/vulnerable"
  grep GHSA- "$scratch/vulnerable" && fail "the package source knows a fault of a package"
  echo "package source: knows advisories, none of a package here"
else
  echo "package source: carries no advisories (it says nothing of Newtonsoft.Json 12.0.3), so only those kept here were looked at"
fi
exit $bad
