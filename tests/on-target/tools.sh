# Finds what the checks need, for `run`. Two ways to a compiler: the targets of rustup, where they
# are installed; else Debian's packages, which build `core` from its source.

# What is missing by Debian's names, one a line.
missing() {
  local package
  command -v qemu-system-arm >/dev/null || echo qemu-system-arm
  command -v readelf >/dev/null || echo binutils
  rustup_targets && return
  [ -x /usr/bin/rustc ] || echo rustc-web
  [ -x /usr/bin/cargo ] || echo cargo-web
  debian_source || echo rust-web-src
  [ -x /usr/bin/cargo-clippy ] || echo rust-web-clippy
  command -v ld.lld >/dev/null || echo lld
}

# Both targets are there for the compiler in use.
rustup_targets() {
  local libraries
  libraries=$(rustc --print sysroot 2>/dev/null)/lib/rustlib
  [ -d "$libraries/thumbv7em-none-eabihf/lib" ] && [ -d "$libraries/thumbv6m-none-eabi/lib" ]
}

# The source of `core` for Debian's compiler.
debian_source() {
  [ -x /usr/bin/rustc ] && [ -d "$(/usr/bin/rustc --print sysroot)/lib/rustlib/src/rust/library/core" ]
}

# Debian's compiler is no older than the planner asks for.
new_enough() {
  local least has
  least=$(sed -n 's/^rust-version = "\(.*\)"$/\1/p' ../../Cargo.toml)
  has=$(/usr/bin/rustc --version | cut -d' ' -f2)
  [ "$(printf '%s\n' "$least" "$has" | sort -V | head -n1)" = "$least" ]
}

# Says in one line what is missing; sets how `cross` calls cargo, which builds in $OUT.
find_tools() {
  local lacking
  lacking=$(missing | tr '\n' ' ')
  if [ -n "$lacking" ]; then
    echo "on-target: missing: ${lacking% }; apt-get install them, or for the compiler: rustup target add thumbv7em-none-eabihf thumbv6m-none-eabi" >&2
    return 2
  fi
  if ! rustup_targets && ! new_enough; then
    echo "on-target: $(/usr/bin/rustc --version) is too old for the planner; upgrade rustc-web, cargo-web and rust-web-src" >&2
    return 2
  fi
  if rustup_targets; then
    cross() { CARGO_TARGET_DIR=$OUT cargo "$@"; }
  else
    # The flags are those for a linker of another name than the target expects.
    cross() {
      PATH=/usr/bin:$PATH RUSTC_BOOTSTRAP=1 RUSTC=/usr/bin/rustc CARGO_TARGET_DIR=$OUT \
        RUSTFLAGS="-Clinker=ld.lld -Clinker-flavor=ld.lld" \
        /usr/bin/cargo "$1" -Zbuild-std=core "${@:2}"
    }
  fi
}
