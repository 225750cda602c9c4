//! `--help` and shell completions of every command.

use crate::workshop::spokeshave;
use clap::CommandFactory;
use spokeshave_sim::cli::Cli;
use std::process::Command;

fn said(arguments: &[&str]) -> String {
    let output = spokeshave().args(arguments).output().unwrap();
    assert!(output.status.success(), "{arguments:?}");
    String::from_utf8(output.stdout).unwrap()
}

/// Every command but the list of commands itself.
fn commands() -> Vec<String> {
    let all = Cli::command();
    let names = all.get_subcommands().map(|one| one.get_name().to_owned());
    names.collect()
}

#[test]
fn every_command_has_an_example_and_its_figures_as_json() {
    let commands = commands();
    assert!(commands.len() >= 5, "{commands:?}");
    for command in commands {
        let help = said(&[&command, "--help"]);
        assert!(help.contains("Example"), "{help}");
        assert!(help.contains(&format!("  spokeshave {command} ")), "{help}");
        // A script of a shell is no figure.
        assert_eq!(help.contains("--json"), command != "completions", "{help}");
    }
}

#[test]
fn completions_know_every_command_and_option() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = said(&["completions", shell]);
        for command in Cli::command().get_subcommands() {
            assert!(
                script.contains(command.get_name()),
                "{shell}: {}",
                command.get_name()
            );
            for long in command.get_arguments().filter_map(|one| one.get_long()) {
                assert!(script.contains(long), "{shell}: --{long}");
            }
        }
    }
    spokeshave().args(["completions", "cmd"]).assert().code(2);
}

/// What a press of the key would offer, asked of the shell itself where one is installed.
#[test]
fn bash_completes_commands_and_options() {
    let offered = |words: &str| {
        let script = format!(
            "source /dev/stdin <<< \"$1\"; COMP_WORDS=({words}); \
             COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1)); \
             _spokeshave spokeshave \"${{COMP_WORDS[COMP_CWORD]}}\" \
             \"${{COMP_WORDS[COMP_CWORD - 1]}}\"; echo \"${{COMPREPLY[@]}}\""
        );
        let completions = said(&["completions", "bash"]);
        let output = Command::new("bash")
            .args(["--norc", "-c", &script, "bash", &completions])
            .output();
        output.ok().map(|output| {
            assert!(output.status.success(), "{output:?}");
            String::from_utf8(output.stdout).unwrap().trim().to_owned()
        })
    };
    let Some(first) = offered("spokeshave comp") else {
        println!("not tested: no bash here");
        return;
    };
    assert_eq!(first, "compare completions");
    assert_eq!(
        offered("spokeshave compare part.nc --base").unwrap(),
        "--baseline"
    );
    assert_eq!(
        offered("spokeshave simulate part.nc --pulses v").unwrap(),
        "vcd"
    );
}
