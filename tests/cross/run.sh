#!/usr/bin/env bash
# run.sh SOURCE_FOLDER HALFARC: installs what package-lock.json names into the current folder and runs the cross-check.
# Leaves with 77, which ctest shows as skipped, when Node.js is not here or the npm registry cannot be reached; every
# other trouble (a lock file that does not fit, a wrong checksum, a difference too large) is a failure.
set -euo pipefail
source_folder=$1 halfarc=$2

skip() {
  printf 'skipped: %s\n' "$1"
  exit 77
}

command -v node >/dev/null || skip 'node is not installed (package nodejs)'
command -v npm >/dev/null || skip 'npm is not installed (package npm)'
cp "$source_folder"/{package.json,package-lock.json,cross_check.mjs} .
if ! cmp -s package-lock.json node_modules/installed-lock.json; then
  if ! npm ci --no-audit --no-fund --fetch-retries=1 --fetch-timeout=30000 >npm.log 2>&1; then
    cat npm.log
    if grep -Eq 'ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ECONNRESET|ENETUNREACH|EHOSTUNREACH|ETIMEDOUT|ERR_SOCKET_TIMEOUT|E403|E50[0-9]|SELF_SIGNED_CERT|UNABLE_TO_GET_ISSUER_CERT|UNABLE_TO_VERIFY_LEAF' npm.log; then
      skip 'the npm registry cannot be reached, or not over a connection that is trusted here'
    fi
    exit 1
  fi
  cp package-lock.json node_modules/installed-lock.json
fi
exec node cross_check.mjs "$halfarc"
