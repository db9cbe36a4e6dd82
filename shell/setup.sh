# shellcheck shell=bash disable=SC2034
# Set-up shared by shell/serve and tests/run; sourced, not run. It finds what is missing, installs it where it may (root
# on Debian), and otherwise says in one command what to ask for. Everything it fetches lands under build/.

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)

say() { printf '\n== %s\n' "$*"; }
note() { printf '   %s\n' "$*"; }
give_up() {
  printf '\nFour76: %s\n' "$*" >&2
  exit 1
}

# "what shows that it is there" and "the Debian package that brings it": a command's name, or a file.
build_needs=(
  "cmake cmake"
  "ninja ninja-build"
  "g++ g++"
  "em++ emscripten"
  "node nodejs"
  "npm npm"
  "pyftsubset fonttools"
  "xz xz-utils"
  "/etc/ssl/certs/ca-certificates.crt ca-certificates"
  "/usr/include/CLI/CLI.hpp libcli11-dev"
  "/usr/include/kissfft/kissfft.hh libkissfft-dev"
  "/usr/include/nlohmann/json.hpp nlohmann-json3-dev"
  "/usr/include/sndfile.h libsndfile1-dev"
  "/usr/lib/python3/dist-packages/brotli.py python3-brotli"
  "/usr/share/fonts/opentype/b612/B612-Regular.otf fonts-b612"
)
test_needs=(
  "WebKitWebDriver webkit2gtk-driver"
  "Xvfb xvfb"
  "chromium chromium"
  "chromium-headless-shell chromium-headless-shell"
  "clang++-14 clang-14"
  "clang-format clang-format"
  "clang-tidy clang-tidy"
  "dbus-run-session dbus-daemon"
  "espeak-ng espeak-ng"
  "firefox-esr firefox-esr"
  "flock util-linux"
  "git git"
  "pacat pulseaudio-utils"
  "pkill procps"
  "pulseaudio pulseaudio"
  "sndfile-convert sndfile-programs"
  "/usr/include/aubio/aubio.h libaubio-dev"
  "/usr/include/benchmark/benchmark.h libbenchmark-dev"
  "/usr/include/fftw3.h libfftw3-dev"
  "/usr/include/liquid/liquid.h libliquid-dev"
  "/usr/lib/llvm-14/lib/clang/14.0.6/lib/linux/libclang_rt.fuzzer-x86_64.a libclang-rt-14-dev"
  "/usr/lib/x86_64-linux-gnu/gstreamer-1.0/libgstpulseaudio.so gstreamer1.0-plugins-good"
  "/usr/share/games/amoebax/music/training.ogg amoebax-data"
  "/usr/share/games/tumiki-fighters/sounds/return_to_home.ogg tumiki-fighters-data"
  "/usr/src/googletest/CMakeLists.txt googletest"
)

is_there() { [[ $1 == /* ]] && [[ -e $1 ]] || command -v "$1" >/dev/null 2>&1; }

# install_missing "probe package"...: installs the packages whose probe is not found.
install_missing() {
  local need missing=()
  for need in "$@"; do
    is_there "${need%% *}" || missing+=("${need##* }")
  done
  ((${#missing[@]})) || return 0

  local install="apt-get install -y --no-install-recommends ${missing[*]}"
  command -v apt-get >/dev/null ||
    give_up "these are missing (named as Debian names them): ${missing[*]}. Install your system's packages of them and try again."
  ((EUID == 0)) ||
    give_up "these packages are missing: ${missing[*]}. Ask whoever looks after this machine to run:

    apt-get update && $install
"
  say "Installing ${#missing[@]} missing packages: ${missing[*]}"
  mkdir -p "$root/build"
  local log=$root/build/install.log
  if ! { DEBIAN_FRONTEND=noninteractive apt-get update && DEBIAN_FRONTEND=noninteractive $install; } >"$log" 2>&1 </dev/null; then
    tail -n 20 "$log" >&2
    give_up "the packages could not be installed; all that was said is in build/install.log."
  fi
  for need in "$@"; do
    is_there "${need%% *}" || give_up "${need%% *} is still missing after installing ${need##* }."
  done
}

# The first mirror of this machine that serves a Debian release's main archive.
debian_mirror() {
  apt-get indextargets --format '$(CREATED_BY) $(REPO_URI) $(LABEL) $(COMPONENT) $(CODENAME)' |
    awk '$1 == "Packages" && $3 == "Debian" && $4 == "main" && $5 !~ /-/ && !found++ { print $2 }'
}

# ---- Dear ImGui ------------------------------------------------------------------------------------------------------
# Debian 13 packages the version that we pin. Its source is fetched with apt from this machine's own mirror through an apt
# state of our own, so that the system's stays as it is; apt checks it against Debian's keyring, we against our sums.
imgui_version=1.90.1+ds-1
imgui_tarball=imgui_1.90.1+ds.orig.tar.xz
imgui_sha256=ecce377df0f90b292f15dcbd83d438bddc162b2388c881132bde18c787572a1c

fetch_imgui() {
  local target=$root/build/third_party/imgui
  [[ -e $target/imgui.h ]] && (cd "$target" && sha256sum --quiet --check "$root/assets/imgui.sha256") >/dev/null 2>&1 && return 0

  say "Fetching Dear ImGui 1.90.1 (Debian's source package)"
  command -v apt-get >/dev/null ||
    give_up "Dear ImGui comes from Debian here. Elsewhere build as DEVELOPERS.md says, with FOUR76_IMGUI_DIR or without."
  local state=$root/build/third_party/apt log=$root/build/imgui.log mirror
  rm -rf "$target" "$state"
  mkdir -p "$state"/{lists/partial,cache/archives/partial}
  mirror=$(debian_mirror)
  [[ -n $mirror ]] || give_up "apt knows no Debian mirror (is there a list of sources, and was apt-get update run?)."
  printf 'deb-src [signed-by=%s] %s trixie main\n' /usr/share/keyrings/debian-archive-keyring.gpg "$mirror" >"$state/sources.list"
  local apt=(apt-get -o "Dir::State=$state" -o "Dir::State::lists=$state/lists" -o "Dir::Cache=$state/cache"
    -o Dir::State::status=/var/lib/dpkg/status -o "Dir::Etc::sourcelist=$state/sources.list" -o Dir::Etc::sourceparts=-
    -o Dir::Etc::preferencesparts=- -o APT::Sandbox::User=root)
  if ! (cd "$state" && "${apt[@]}" update && "${apt[@]}" source --download-only "imgui=$imgui_version") >"$log" 2>&1 </dev/null; then
    tail -n 20 "$log" >&2
    give_up "Dear ImGui could not be fetched; all that was said is in build/imgui.log."
  fi
  (cd "$state" && printf '%s  %s\n' "$imgui_sha256" "$imgui_tarball" | sha256sum --quiet --check) ||
    give_up "$imgui_tarball is not the file that Four76 was made with."
  mkdir -p "$target"
  tar -xJf "$state/$imgui_tarball" -C "$target" --strip-components=1
  rm -rf "$state"
}

# ---- What comes from npm ---------------------------------------------------------------------------------------------
# install_npm_parts FOLDER WHAT: as its package-lock.json says; nothing to do where that is there already.
install_npm_parts() {
  local folder=$root/$1 log=$root/build/npm.log
  local lock=$folder/package-lock.json stamp=$folder/node_modules/.four76-lock
  cmp -s "$lock" "$stamp" && return 0
  say "Installing $2 with npm"
  mkdir -p "$root/build"
  if ! (cd "$folder" && npm ci --no-audit --no-fund) >"$log" 2>&1 </dev/null; then
    tail -n 20 "$log" >&2
    printf '   npm could not install it; all that was said is in build/npm.log\n' >&2
    return 1
  fi
  cp "$lock" "$stamp"
}

# ---- Seeds -----------------------------------------------------------------------------------------------------------
# proof_seed: the seed of what is measured for publication. It follows from the measuring code itself, as committed: whoever
# changes the code changes the seed, so nobody can tune on it. The first 28 bits of the SHA-256 of core/'s tree in Git.
proof_seed() {
  local tree sum
  tree=$(git -c safe.directory="$root" -C "$root" rev-parse --verify --quiet HEAD:core 2>/dev/null) ||
    give_up "the seed comes from the history: this needs git and a clone, not an unpacked archive."
  sum=$(printf '%s' "$tree" | sha256sum)
  echo $((16#${sum:0:7}))
}

# ---- Building --------------------------------------------------------------------------------------------------------
# Debian's emscripten looks for its node modules here, where node itself did not come from Debian.
export NODE_PATH=${NODE_PATH:-/usr/share/nodejs}

# The page and the command line are configured without what only tests need. A folder that tests/run has set up keeps its
# tests, so that neither makes the other build anew; but where the tests' needs have gone since, they are left out.
configure() {
  cmake --preset "$1" || { [[ $1 == command_line || $1 == page ]] && cmake --preset "$1" -DFOUR76_TESTS=OFF; }
}

# build PRESET [TARGET...]: configures where needed and builds what changed; quiet but for what went wrong.
build() {
  local preset=$1 log=$root/build/$1.log
  shift
  mkdir -p "$root/build"
  if ! (cd "$root" && configure "$preset" && cmake --build --preset "$preset" ${1:+--target "$@"}) >"$log" 2>&1; then
    # What the compilers found, without the commands that they were given.
    { grep -vE '^(FAILED|: &&|[^ ]*\+\+ )|failed \(returned' "$log" | grep -E -m 40 'error|Error'; } >&2 || tail -n 20 "$log" >&2
    printf '   all that was said is in build/%s.log\n' "$preset" >&2
    return 1
  fi
}

build_site() {
  install_npm_parts shell "the page's libraries" && build command_line four76_cli && build page && node "$root/shell/assemble_site.mjs"
}
