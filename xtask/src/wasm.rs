//! Compiles the pure crates for wasm32-unknown-unknown, so that nothing that cannot run in a browser creeps in.
//!
//! In: the pure crates of `xtask/layers.toml` and the compilers of this machine. Out: cargo's own messages. Start at
//! [`Route`]: either the toolchain in use has the target's standard library, or Debian's packages build it from source.
//! Compiles only; links nothing and makes no web page.

use crate::Outcome;
use crate::tidy::{Layers, pure_crates};
use crate::tree::root;
use cargo_metadata::MetadataCommand;
use std::path::Path;
use std::process::Command;
use std::time::Instant;

const TARGET: &str = "wasm32-unknown-unknown";

/// How this machine can compile for WASM.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Route {
    /// The toolchain in use has the target's standard library.
    Rustup,
    /// Debian's compiler with the sources of the standard library, which is built along.
    Debian,
}

/// Compiles the pure crates; with `if_available`, a machine without a route is no failure. With `has_route` it only says
/// whether there is one.
pub(crate) fn run(if_available: bool, has_route: bool) -> Outcome {
    let metadata = MetadataCommand::new()
        .manifest_path(root().join("Cargo.toml"))
        .no_deps()
        .exec()?;
    let oldest = metadata
        .packages
        .iter()
        .filter_map(|package| package.rust_version.as_ref())
        .max();
    let oldest = oldest.map_or((0, 0), |version| (version.major, version.minor));
    let Some(route) = choose(oldest)? else {
        if !if_available {
            return Err(HELP.into());
        }
        println!("wasm: not checked: {HELP}");
        return Ok(());
    };
    if has_route {
        println!("wasm: the {route:?} route works here");
        return Ok(());
    }
    let layers = Layers::read()?;
    let crates = pure_crates(&layers);
    println!(
        "wasm: {} crates by the {route:?} route: {}",
        crates.len(),
        crates.join(" ")
    );
    let metadata = MetadataCommand::new()
        .manifest_path(root().join("Cargo.toml"))
        .no_deps()
        .exec()?;
    // A folder of its own: two compilers sharing one throw away each other's proc macros.
    let folder = metadata.target_directory.join("wasm");
    let mut command = command(route, folder.as_std_path());
    for name in &crates {
        command.args(["--package", name]);
    }
    let start = Instant::now();
    let status = command.current_dir(root()).status()?;
    if !status.success() {
        return Err("the pure crates do not compile for the web; the messages above say where".into());
    }
    println!("wasm: compiled in {} s", start.elapsed().as_secs());
    Ok(())
}

const HELP: &str = "no standard library for wasm32-unknown-unknown found. Either of these brings one:
  rustup target add wasm32-unknown-unknown
  apt-get install rustc-web cargo-web rust-web-src";

/// The first route that works here; `WASM_ROUTE=rustup` or `debian` decides otherwise.
fn choose(oldest: (u64, u64)) -> Outcome<Option<Route>> {
    match std::env::var("WASM_ROUTE").ok().as_deref() {
        Some("rustup") => return Ok(Some(Route::Rustup)),
        Some("debian") => return Ok(Some(Route::Debian)),
        Some(other) => {
            return Err(format!("`WASM_ROUTE` is `{other}`: say `rustup` or `debian`, or unset it").into());
        }
        None => {}
    }
    // The command names a folder and succeeds even when the target is not installed, so the folder is looked at.
    let compiler = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let folder = printed(Command::new(compiler).args(["--print", "target-libdir", "--target", TARGET]));
    if folder.is_some_and(|folder| holds_core(Path::new(&folder))) {
        return Ok(Some(Route::Rustup));
    }
    let debian = || Command::new("/usr/bin/rustc");
    let sysroot = printed(debian().args(["--print", "sysroot"]));
    let sources =
        sysroot.is_some_and(|folder| Path::new(&folder).join("lib/rustlib/src/rust/library").is_dir());
    let new_enough = printed(debian().arg("--version")).and_then(|text| version(&text)) >= Some(oldest);
    Ok((sources && new_enough && Path::new("/usr/bin/cargo").exists()).then_some(Route::Debian))
}

/// Major and minor number in a text such as "rustc 1.96.0 (…)".
fn version(text: &str) -> Option<(u64, u64)> {
    let mut numbers = text.split_whitespace().nth(1)?.split('.').map(str::parse);
    Some((numbers.next()?.ok()?, numbers.next()?.ok()?))
}

/// What a command prints, if it can be run.
fn printed(command: &mut Command) -> Option<String> {
    let output = command.output().ok().filter(|output| output.status.success())?;
    Some(String::from_utf8(output.stdout).ok()?.trim().to_owned())
}

fn holds_core(folder: &Path) -> bool {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return false;
    };
    entries.flatten().any(|entry| {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        name.starts_with("libcore-")
            && Path::new(name.as_ref())
                .extension()
                .is_some_and(|end| end == "rlib")
    })
}

/// The cargo of a route, ready to be told the crates.
fn command(route: Route, folder: &Path) -> Command {
    let mut command = match route {
        Route::Rustup => Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into())),
        Route::Debian => {
            let mut command = Command::new("/usr/bin/cargo");
            let path = std::env::var("PATH").unwrap_or_default();
            // Debian's cargo must find Debian's compiler, not the one of a rustup that comes first in PATH. The bootstrap
            // switch lets a stable compiler build its own standard library.
            command
                .env("PATH", format!("/usr/bin:{path}"))
                .env("RUSTC", "/usr/bin/rustc")
                .env("RUSTC_BOOTSTRAP", "1");
            command.env_remove("RUSTUP_TOOLCHAIN").env_remove("CARGO");
            command
        }
    };
    command
        .args(["check", "--locked", "--lib", "--target", TARGET, "--target-dir"])
        .arg(folder);
    if route == Route::Debian {
        command.arg("-Zbuild-std=std,panic_abort");
    }
    command
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_without_core_is_no_standard_library() {
        assert!(!holds_core(Path::new("/nonexistent")));
        assert!(!holds_core(&root()));
    }

    #[test]
    fn the_toolchain_that_runs_this_test_has_core_for_its_own_platform() {
        let folder = printed(Command::new("rustc").args(["--print", "target-libdir"])).unwrap();
        assert!(holds_core(Path::new(&folder)));
    }

    #[test]
    fn compiler_versions_compare_by_number() {
        assert_eq!(version("rustc 1.96.0 (ac68faa20 2026-05-25)"), Some((1, 96)));
        assert!(version("rustc 1.100.0") > version("rustc 1.92.0"));
        assert!(version("no version").is_none() && version("").is_none());
    }

    #[test]
    fn the_debian_route_builds_the_standard_library_and_the_other_does_not() {
        let words = |route| {
            let command = command(route, Path::new("target/wasm"));
            let words: Vec<String> = command
                .get_args()
                .map(|word| word.to_string_lossy().into_owned())
                .collect();
            words.join(" ")
        };
        assert!(words(Route::Debian).contains("-Zbuild-std"));
        assert!(!words(Route::Rustup).contains("-Z") && words(Route::Rustup).contains(TARGET));
    }
}
