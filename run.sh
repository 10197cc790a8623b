#!/usr/bin/env bash
# Sets up, builds, demonstrates, tests and measures Ovenproof. `./run.sh help` lists the commands.
# Needs nothing but Debian 12: what is missing is installed from Debian's own packages.
set -euo pipefail

root=$(dirname "$(readlink -f "${BASH_SOURCE[0]}")")
demo_machine=scenarios/machines/bronze_strip_160.yaml
demo_pack=build/evidence/bronze_strip_160

# The program needs these ...
program_packages=(
  g++ cmake ninja-build git
  libboost1.81-dev libspdlog-dev libfmt-dev libyaml-cpp-dev libcli11-dev nlohmann-json3-dev
  libcsv-dev libsqlitecpp-dev libsodium-dev pkg-config
)
# ... and tests, benchmarks and build checks these besides, which are twice as much to download.
test_packages=(
  doctest-dev librapidcheck-dev libsundials-dev libbenchmark-dev libvalijson-dev
  libz3-dev # a solver that judges the explorer independently
  gtkwave # its converters read value change dumps independently
  chromium poppler-utils fonts-dejavu-core # the evidence page on screen and on paper
  binutils python3 clang clang-format clang-tidy
)

usage() {
  cat <<'TEXT'
usage: ./run.sh COMMAND [OPTIONS]

  demo                 run the main job on a demo oven: build the program, run the
                       firmware through whole cycles of the simulated oven and
                       through every scenario of scenarios/cases, explore its logic
                       in every order of events it can meet; report which hazards
                       occurred, and write an evidence pack (build/evidence)
  test [--sanitize]    build everything and run every test; with --sanitize also
                       under the address and undefined-behaviour sanitizers, and those
                       with threads under the thread sanitizer
  build                build the program and the tests (build/release)
  bench [ARGS...]      run the benchmarks; ARGS go to Google Benchmark, such as
                       --benchmark_filter=plant
  defects [ARGS...]    break the firmware in one place at a time and tell which defects
                       the scenarios do not notice (docs/defects.md); takes hours, and
                       goes on where it was interrupted
  pictures             make the pictures of the README (docs/pictures) from the pack that
                       demo wrote, and record what they show; test fails when it has
                       changed since
  mutants [ARGS...]    break the logic in one place at a time and tell which defects the
                       prover does not notice (docs/defects.md); takes hours, and goes
                       on where it was interrupted
  lint [FILE...]       run clang-tidy over the sources, or over the given .cpp files
  format               rewrite the sources in the house format (clang-format)
  help                 show this text

The first call installs the Debian packages that are missing (as root) and builds;
later calls do only what changed. The program is build/release/ovenproof.

Exit status of demo: 0 all holds, 1 a hazard or a failed property, 2 bad input,
3 internal fault. Of the others: 0 on success.
TEXT
}

say() { printf '%s\n' "run.sh: $*" >&2; }
die() { say "$*"; exit 2; }

# set_up PACKAGE...: installs those that are missing. Without root it says which, and how to get them.
set_up() {
  if ! command -v dpkg-query >/dev/null; then
    say "not a Debian system, so nothing is installed; needed are the equivalents of: $*"
    return
  fi
  local missing log
  mapfile -t missing < <(comm -23 <(printf '%s\n' "$@" | sort) \
    <(dpkg-query -W -f='${db:Status-Abbrev} ${Package}\n' "$@" 2>/dev/null | sed -n 's/^ii *//p' | sort -u))
  ((${#missing[@]})) || return 0
  if ((EUID != 0)); then
    say "these packages are missing, and only root can install them. Run this, then call again:"
    say "  sudo apt-get install --no-install-recommends ${missing[*]}"
    exit 2
  fi
  say "installing ${missing[*]}"
  log=$(mktemp)
  if ! { apt-get -q -o Acquire::Retries=3 update &&
    DEBIAN_FRONTEND=noninteractive apt-get -q -y -o Acquire::Retries=3 \
      install --no-install-recommends "${missing[@]}"; } </dev/null >"$log" 2>&1; then
    cat "$log" >&2
    rm -f "$log"
    die "the packages could not be installed (see above)"
  fi
  rm -f "$log"
}

set_up_all() { set_up "${program_packages[@]}" "${test_packages[@]}"; }

# The libraries that drive the browser in tests, in build/browser: once for each lock file.
set_up_browser() {
  local folder=build/browser log
  command -v node >/dev/null && command -v npm >/dev/null || set_up nodejs npm
  ! cmp -s tests/evidence/package-lock.json "$folder/installed-lock.json" || return 0
  say "installing the libraries of the browser tests"
  mkdir -p "$folder"
  cp tests/evidence/package.json tests/evidence/package-lock.json "$folder"
  log=$(mktemp)
  if ! npm ci --prefix "$folder" --no-audit --no-fund </dev/null >"$log" 2>&1; then
    cat "$log" >&2
    rm -f "$log"
    die "npm could not install them (see above)"
  fi
  rm -f "$log"
  cp tests/evidence/package-lock.json "$folder/installed-lock.json"
}

# As many compilers at once as there are processors and as memory allows: the state machine takes
# about 1 GB to compile.
jobs() {
  local processors memory_jobs
  processors=$(nproc)
  memory_jobs=$(awk '/^MemAvailable:/ { print int($2 / 1000000) }' /proc/meminfo)
  ((memory_jobs >= 1)) || memory_jobs=1
  echo $((processors < memory_jobs ? processors : memory_jobs))
}

# configure PRESET [CMAKE_ARGS...]
configure() {
  local log
  say "configuring build/$1"
  log=$(mktemp)
  if ! cmake --preset "$@" >"$log" 2>&1; then
    cat "$log" >&2
    rm -f "$log"
    die "CMake could not configure (see above)"
  fi
  rm -f "$log"
}

# build PRESET [TARGET]
build() {
  say "building build/$1${2:+ ($2)}"
  NINJA_STATUS='[%f/%t] ' cmake --build "build/$1" -j "$(jobs)" ${2:+--target "$2"} >&2
}

# build_program PRESET: the program alone, whatever else the build folder holds.
build_program() {
  [[ -f build/$1/build.ninja ]] ||
    configure "$1" -DOVENPROOF_TESTS=OFF -DOVENPROOF_BENCHMARKS=OFF
  build "$1" ovenproof
}

# build_all PRESET [TARGET]: with tests; a folder set up for the program alone is configured again.
build_all() {
  if [[ ! -f build/$1/build.ninja ]] || ! grep -qx 'OVENPROOF_TESTS:BOOL=ON' "build/$1/CMakeCache.txt"; then
    configure "$1"
  fi
  build "$@"
}

demo() {
  (($# == 0)) || die "demo takes no arguments; to run another machine: build/release/ovenproof run FILE"
  set_up "${program_packages[@]}"
  build_program release
  # Each prints what it found whatever the others did; the worst status counts.
  local worst=0
  build/release/ovenproof run "$demo_machine" || worst=$?
  printf '\n'
  build/release/ovenproof evidence --scenarios scenarios/cases --out "$demo_pack" "$demo_machine" ||
    worst=$(($? > worst ? $? : worst))
  return "$worst"
}

run_ctest() {
  ctest --test-dir "build/$1" -j "$(jobs)" --output-on-failure --no-tests=error --timeout 900 </dev/null
}

test_all() {
  local presets=()
  while (($#)); do
    case $1 in
      --sanitize) presets=(asan-ubsan tsan) ;;
      *) die "unknown option of test: $1 (see ./run.sh help)" ;;
    esac
    shift
  done
  set_up_all
  set_up_browser
  build_program clang # its trace must equal that of g++; a test compares the two
  build_all release
  run_ctest release
  local preset
  for preset in "${presets[@]}"; do
    build_all "$preset"
    run_ctest "$preset"
  done
}

mutants() {
  set_up_all
  build_all release mutants
  exec python3 tests/defects/mutants.py --program build/release/mutants \
    --places build/release/tests/defects/copy/defects.json --accepted tests/defects/unproved.txt \
    --work build/mutants --jobs "$(jobs)" "$@"
}

lint() {
  set_up_all
  build_all debug # the others compile sources in pieces of several, which no linter can take apart
  local files=("$@")
  ((${#files[@]})) || mapfile -t files < <(git ls-files 'firmware/*.cpp' 'hal-mock/*.cpp' 'sim/*.cpp' 'tests/*.cpp')
  printf '%s\0' "${files[@]}" |
    xargs -0 -n 1 -P "$(jobs)" clang-tidy -p build/debug --quiet --warnings-as-errors='*'
}

defects() {
  set_up_all
  build_all release ovenproof
  build_all release defects
  build_all release defects_units
  local proved=()
  [[ ! -f build/mutants/results.jsonl ]] || proved=(--mutants build/release/mutants build/mutants/results.jsonl)
  exec python3 tests/defects/survey.py --program build/release/defects --sound build/release/ovenproof \
    --places build/release/tests/defects/copy/defects.json --redundant tests/defects/redundant_cells.txt \
    --explained tests/defects/unnoticed.txt --unproved tests/defects/unproved.txt --units build/release "${proved[@]}" \
    --work build/defects --jobs "$(jobs)" "$@" scenarios
}

pictures() {
  (($# == 0)) || die "pictures takes no arguments"
  [[ -f $demo_pack/index.html ]] || die "there is no pack in $demo_pack: ./run.sh demo writes it"
  set_up_all
  set_up_browser
  EVIDENCE_PACK=$demo_pack EVIDENCE_LIBRARIES=$root/build/browser node tests/evidence/pictures.mjs docs/pictures
  python3 tests/build/pictures_check.py record "$demo_pack" docs/pictures
}

command=${1:-}
(($# == 0)) || shift
cd "$root"

case $command in
  demo) demo "$@" ;;
  test) test_all "$@" ;;
  build) (($# == 0)) || die "build takes no arguments"; set_up_all; build_all release ;;
  bench) set_up_all; build_all release bench; exec build/release/bench "$@" ;;
  defects) defects "$@" ;;
  pictures) pictures "$@" ;;
  mutants) mutants "$@" ;;
  lint) lint "$@" ;;
  format)
    set_up_all
    git ls-files -z '*.hpp' '*.cpp' | xargs -0 clang-format -i
    ;;
  help | -h | --help) usage ;;
  '') usage >&2; exit 2 ;;
  *) say "unknown command: $command"; usage >&2; exit 2 ;;
esac
