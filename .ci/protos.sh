#!/usr/bin/env bash
# Format, lint and breaking check of the protos. The google/* protos come from NuGet, so nothing is vendored and no
# schema registry is asked. Run after `dotnet restore`; `--release` takes the protos as they are for the released ones.
set -euo pipefail
cd "$(dirname "$0")/.."
packages=$(dotnet nuget locals global-packages --list | sed 's/^[^/]*//')
version() { sed -n "s/.*Include=\"$1\" Version=\"\([^\"]*\)\".*/\1/p" Directory.Packages.props; }
tools="$packages/grpc.tools/$(version Grpc.Tools)"
common="$packages/google.api.commonprotos/$(version Google.Api.CommonProtos)/content/protos"
buf=tests/node/node_modules/.bin/buf

image() {
  "$tools/tools/linux_x64/protoc" --include_imports --descriptor_set_out="$1" "${@:2}" \
    -I protos -I "$common" -I "$tools/build/native/include" protos/pourwright/v1/*.proto
}

if [ "${1:-}" = --release ]; then
  image protos/released.binpb
  exit
fi
now=$(mktemp --suffix=.binpb)
trap 'rm -f "$now"' EXIT
image "$now" --include_source_info
"$buf" format protos --diff --exit-code
"$buf" lint "$now" --config protos/buf.yaml
"$buf" breaking "$now" --against protos/released.binpb --config protos/buf.yaml
