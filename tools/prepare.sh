# Sourced by ./run and ./test: installs what is missing, configures the release preset and builds it.
# shellcheck shell=bash

say() { printf '%s\n' "$*" >&2; }

# The packages of packages.txt that are not installed, less those whose command is here from elsewhere.
missing_packages() {
  local installed package command
  installed=$(dpkg-query -W -f '${db:Status-Abbrev}${binary:Package}\n' 2>/dev/null | sed -n 's/^ii *//p' | sed 's/:.*//')
  while IFS=: read -r package command; do
    grep -Fqx -- "$package" <<<"$installed" && continue
    [[ -n $command ]] && command -v "$command" >/dev/null && continue
    printf '%s\n' "$package"
  done < <(grep -Ev '^[[:space:]]*(#|$)' packages.txt)
}

install_packages() {
  local missing as_root=()
  command -v dpkg-query >/dev/null || {
    say "halfarc: this script installs Debian packages and finds no dpkg here; install the libraries of packages.txt by hand, then use cmake --preset release"
    exit 1
  }
  mapfile -t missing < <(missing_packages)
  [[ ${#missing[@]} -gt 0 ]] || return 0
  if [[ $(id -u) -ne 0 ]]; then
    command -v sudo >/dev/null || {
      say "halfarc: these packages are missing and neither root nor sudo is at hand to install them: ${missing[*]}"
      exit 1
    }
    as_root=(sudo)
  fi
  say "installing: ${missing[*]}"
  local install=("${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends)
  # The package lists of a fresh machine are empty or stale, so they are fetched when the first attempt fails.
  "${install[@]}" "${missing[@]}" </dev/null >/dev/null 2>&1 || {
    "${as_root[@]}" apt-get update -q </dev/null >&2
    "${install[@]}" "${missing[@]}" </dev/null >&2
  }
}

# Builds the targets named; all, when none is.
build_release() {
  local launcher=() targets=()
  [[ $# -eq 0 ]] || targets=(--target "$@")
  command -v ccache >/dev/null && launcher=(-DCMAKE_CXX_COMPILER_LAUNCHER=ccache)
  cmake --preset release "${launcher[@]}" >&2
  cmake --build --preset release --parallel "$(nproc)" "${targets[@]}" >&2
}
