//! `completions`: the script that makes a shell complete the command's words.

use crate::cli::Cli;
use clap::{Args, CommandFactory};
use clap_complete::Shell;

/// The example that `--help` ends with.
pub const EXAMPLE: &str = "Examples, each for good from the next shell on:\n  \
spokeshave completions bash > ~/.local/share/bash-completion/completions/spokeshave\n  \
spokeshave completions fish > ~/.config/fish/completions/spokeshave.fish\n\
or for this bash alone:\n  source <(spokeshave completions bash)";

/// Arguments of `completions`.
#[derive(Args, Clone, Copy, Debug)]
pub struct Completions {
    /// For which shell.
    #[arg(value_enum)]
    pub shell: Shell,
}

/// The script.
pub fn completions(arguments: Completions) -> String {
    let mut script = Vec::new();
    clap_complete::generate(
        arguments.shell,
        &mut Cli::command(),
        "spokeshave",
        &mut script,
    );
    String::from_utf8_lossy(&script).into_owned()
}
